/** One machine and crop: its loads as a picture and a table, and folded below what the fit is worth and what would help. */
import { useId, useState } from 'react';
import type { CalibrationSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { CalibrationChart } from '../../charts/calibration-chart.tsx';
import { LeaveOneOut } from '../../charts/leave-one-out.tsx';
import { ResidualChart } from '../../charts/residual-chart.tsx';
import { AGAINST_WORDS, type ResidualAgainst } from '../../charts/residuals.ts';
import { machineName } from '../../session/season-figures.ts';
import { capitalised, counted, modelWords } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';
import { CarriedGain } from './carried-gain.tsx';
import { FitWorth } from './fit-worth.tsx';
import { LoadTable } from './load-table.tsx';
import { NextLoads } from './next-loads.tsx';

export interface FitContext extends StepContext {
  readonly fit: CalibrationSummary;
}

export function FitSection(context: FitContext) {
  const { fit, season, units, state, session } = context;
  const isFlagged = fit.loads.some((load) => load.flagged);
  const choosing = {
    calibration: fit,
    selectedTicket: state.view.ticket,
    onSelectTicket: (ticket: string) =>
      session.look({ ticket: ticket === state.view.ticket ? null : ticket }),
  };
  return (
    <section>
      <h3>
        <span>
          <StateMark state={isFlagged ? 'look' : fit.loads.length === 0 ? 'mend' : 'good'} />{' '}
          {capitalised(fit.crop)}, {machineName(season, fit.machine)}
          {fit.group === undefined ? '' : `, ${fit.group}`}
        </span>
        <span className="quiet">{modelWords(fit.model)}</span>
      </h3>
      {fit.loads.length > 0 && (
        <>
          <CalibrationChart {...choosing} units={units} />
          <LoadTable {...context} />
          <p className="estimate">{adviceOf(fit)}</p>
          <Residuals {...context} choosing={choosing} />
          <details>
            <summary>Each load told by the others</summary>
            <LeaveOneOut {...choosing} />
          </details>
          <details>
            <summary>The fit, and how sure it is</summary>
            <FitWorth {...context} />
          </details>
          <details>
            <summary>Flows covered, and the next load</summary>
            <NextLoads {...context} />
          </details>
        </>
      )}
      <CarriedGain {...context} />
    </section>
  );
}

interface ResidualsProps extends FitContext {
  readonly choosing: {
    readonly calibration: CalibrationSummary;
    readonly selectedTicket: string | null;
    readonly onSelectTicket: (ticket: string) => void;
  };
}

const ALL_AGAINST = Object.keys(AGAINST_WORDS) as readonly ResidualAgainst[];

function Residuals({ choosing, reply, units }: ResidualsProps) {
  const [against, setAgainst] = useState<ResidualAgainst>('flow_kg_s');
  const id = useId();
  return (
    <details>
      <summary>Errors against flow, time, moisture, test weight</summary>
      <fieldset className="row chips">
        <legend className="unseen">Errors against</legend>
        {ALL_AGAINST.map((one) => (
          <label key={one} className="switch">
            <input type="radio" name={id} checked={one === against} onChange={() => setAgainst(one)} />
            {AGAINST_WORDS[one]}
          </label>
        ))}
      </fieldset>
      <ResidualChart {...choosing} against={against} spans={reply.loads} units={units} />
    </details>
  );
}

/** How many loads are enough: common practice, no source. */
const ENOUGH_LOADS = 4;

function adviceOf(fit: CalibrationSummary): string {
  const used = fit.loads.filter((load) => load.used);
  if (used.length < ENOUGH_LOADS)
    return `Weigh ${counted(ENOUGH_LOADS - used.length, 'load')} more, at slow and at fast flow.`;
  const flows = used.flatMap(({ mean_flow_kg_s }) => mean_flow_kg_s ?? []);
  if (flows.length > 0 && Math.max(...flows) < 1.5 * Math.min(...flows))
    return 'All loads were cut at much the same flow; a slow one would tell most.';
  return 'Enough loads over a wide span of flow. Weigh again when the crop or its moisture changes.';
}
