/** Loads: the beam's weights against the scale's; the wrong ticket, why it is taken for wrong, and what to do with it. */
import type { CalibrationSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { CalibrationChart } from '../../charts/calibration-chart.tsx';
import { LeaveOneOut } from '../../charts/leave-one-out.tsx';
import { machineName } from '../../session/season-figures.ts';
import { decimal, massFlow } from '../../text/quantities.ts';
import { capitalised, counted, modelWords } from '../../text/words.ts';
import { Pairs, Panel, type StepContext } from '../panel.tsx';
import { LoadTable } from './load-table.tsx';
import { ModelChoice } from './model-choice.tsx';

export function LoadsPanel(context: StepContext) {
  const { summary, field } = context;
  const fits = inOrder(summary.calibrations, field.crop);
  return (
    <Panel
      title="Loads"
      finding={findingOf(fits)}
      meaning={
        <>
          <p>
            The gain is fitted to the loads in use. “Left out” is how far a load is missed by a fit that has
            not seen it: the honest measure of how well the next load would be known.
          </p>
          <p>
            A ticket that does not fit is set aside until you decide; it stays in this list. The fit is only
            as good as the scale and the moisture meter behind it.
          </p>
        </>
      }
    >
      {fits.map((fit) => (
        <FitSection key={`${fit.machine} ${fit.crop}`} fit={fit} {...context} />
      ))}
      <ModelChoice {...context} />
    </Panel>
  );
}

/** What is wrong comes first, then the crop of the field on the map. */
function inOrder(fits: readonly CalibrationSummary[], crop: string): readonly CalibrationSummary[] {
  const rank = (fit: CalibrationSummary) =>
    fit.loads.some((load) => load.flagged) ? 0 : fit.crop === crop ? 1 : 2;
  return [...fits].sort((a, b) => rank(a) - rank(b));
}

function findingOf(fits: readonly CalibrationSummary[]): string {
  const loads = fits.flatMap((fit) => fit.loads);
  if (loads.length === 0)
    return 'No scale tickets: the map shows the pattern, not the weight. Weigh a few loads, and drop their tickets here.';
  const flagged = loads.filter((load) => load.flagged);
  const used = loads.filter((load) => load.used).length;
  const error = Math.max(...fits.map((fit) => fit.loo_rmse_pct ?? 0));
  const fate =
    flagged.length === 0
      ? 'none looks wrong'
      : `${flagged.map((load) => `ticket ${load.ticket}`).join(', ')} does not fit`;
  return `${used} of ${loads.length} loads are in the fit; ${fate}. An unseen load is predicted to ${decimal(error, 1)} %.`;
}

function FitSection({ fit, ...context }: StepContext & { readonly fit: CalibrationSummary }) {
  const { season, units, state, session } = context;
  const flows = fit.loads.filter(({ used }) => used).flatMap(({ mean_flow_kg_s }) => mean_flow_kg_s ?? []);
  const low = massFlow(flows.length > 0 ? Math.min(...flows) : null, units);
  const high = massFlow(flows.length > 0 ? Math.max(...flows) : null, units);
  const isFlagged = fit.loads.some((load) => load.flagged);
  return (
    <section>
      <h3>
        <span>
          <StateMark state={isFlagged ? 'look' : fit.loads.length === 0 ? 'mend' : 'good'} />{' '}
          {capitalised(fit.crop)}, {machineName(season, fit.machine)}
        </span>
        <span className="quiet">{modelWords(fit.model)}</span>
      </h3>
      {fit.loads.length > 0 && (
        <>
          <CalibrationChart
            calibration={fit}
            units={units}
            selectedTicket={state.view.ticket}
            onSelectTicket={(ticket) =>
              session.look({ ticket: ticket === state.view.ticket ? null : ticket })
            }
          />
          <LoadTable fit={fit} {...context} />
          <LeaveOneOut
            calibration={fit}
            selectedTicket={state.view.ticket}
            onSelectTicket={(ticket) =>
              session.look({ ticket: ticket === state.view.ticket ? null : ticket })
            }
          />
          <Pairs
            of={[
              ['Error of the fit', { number: decimal(fit.fit_rmse_pct, 2), unit: '%' }],
              ['Error, each load left out', { number: decimal(fit.loo_rmse_pct, 2), unit: '%' }],
              ['r²', { number: decimal(fit.r2, 5), unit: '' }],
              ...coefficientPairs(fit),
              ['Flows covered by the loads', { number: `${low.number} to ${high.number}`, unit: high.unit }],
            ]}
          />
          <p className="estimate">{adviceOf(fit)}</p>
        </>
      )}
    </section>
  );
}

const COEFFICIENT_WORDS: Readonly<Record<string, string>> = {
  k: 'Gain, scale over beam',
  zero_kg_s: 'Zero error, kg/s',
  curvature: 'Bend with flow',
};

function coefficientPairs(fit: CalibrationSummary) {
  return Object.entries(fit.coefficients).map(([name, held]) => {
    const error = fit.standard_errors[name];
    const number =
      error === undefined ? decimal(held, 4) : `${decimal(held, 4)} ± ${decimal(1.96 * error, 4)}`;
    return [COEFFICIENT_WORDS[name] ?? capitalised(name.replaceAll('_', ' ')), { number, unit: '' }] as const;
  });
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
