/** Lag: how long after the cut the beam sees the grain; both estimates, and an entry by hand. */
import type { SeasonEdit } from '../../../core/edits/season-edit.ts';
import type { LagSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { LagCurve } from '../../charts/lag-curve.tsx';
import { machineName } from '../../session/season-figures.ts';
import { decimal, seconds, withSign } from '../../text/quantities.ts';
import { methodWords } from '../../text/words.ts';
import { NumberEntry, Pairs, Panel, type StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';
import { agreementWords, lagSeries, lagWords } from './lag-evidence.ts';
import { Unsmearing } from './unsmearing.tsx';

export function LagPanel(context: StepContext) {
  const { summary, field } = context;
  const lags = summary.lags.filter((lag) => lag.field === field.name);
  return (
    <Panel
      title="Lag"
      finding={findingOf(lags, context)}
      meaning={
        <>
          <p>
            A lag that is wrong by a few seconds shifts yield to and fro along each pass: on the map,
            neighbouring passes then look like a comb. The field’s total hardly moves.
          </p>
          <p>
            Two methods look at different things: the moments at which flow sets in and runs out at the ends
            of passes, and the lag at which passes driven opposite ways agree best. Where they differ by more
            than two seconds, look at the map with each.
          </p>
        </>
      }
    >
      {lags.map((lag) => (
        <LagOfMachine key={lag.machine} lag={lag} {...context} />
      ))}
      {lags.length > 0 && <Unsmearing lags={lags} {...context} />}
    </Panel>
  );
}

function findingOf(lags: readonly LagSummary[], { season, field }: StepContext): string {
  if (lags.length === 0) return `No flow was logged in ${field.name}, so that there is nothing to shift.`;
  const words = lags.map((lag) => {
    const se = lag.transport_se_s === null ? '' : ` ± ${decimal(1.96 * lag.transport_se_s, 2)}`;
    return `${decimal(lag.transport_s ?? lag.applied_s, 1)}${se} s for ${machineName(season, lag.machine)}, ${methodWords(lag.method)}`;
  });
  return `Grain reaches the beam ${words.join('; ')}.`;
}

type LagChange = { transport_s?: number | null; mixing_s?: number | null };

function LagOfMachine({ lag, season, session, state }: StepContext & { readonly lag: LagSummary }) {
  const { field, machine } = lag;
  const entry = season.settings?.lags?.find((one) => one.field === field && one.machine === machine);
  const edited = (change: LagChange) => ({ kind: 'set_lag', field, machine, change }) as const;
  const enter = (change: LagChange) => void session.edit(edited(change));
  const tried = triedLag(state.tried, lag);
  const draft = (change: LagChange) => (number: number | null) =>
    number === null ? session.leavePreview() : void session.try(edited(change));
  const shown_s = tried?.transport_s ?? lag.transport_s ?? lag.applied_s;
  const series = lagSeries(lag);
  return (
    <section>
      <h3>
        <span>
          <StateMark state={lag.method === 'assumed' ? 'look' : 'good'} /> {machineName(season, machine)}
        </span>
        <span className="quiet">{methodWords(lag.method)}</span>
      </h3>
      {series.length > 0 && (
        <LagCurve
          series={series}
          applied_s={shown_s}
          method={lag.method}
          word={tried?.transport_s === undefined ? 'in use' : 'tried'}
          onLagDrag={(transport_s) => void session.try(edited({ transport_s }))}
        />
      )}
      <p className="estimate">
        {agreementWords(lag)} {lagWords(lag, shown_s)}
      </p>
      <div className="form-grid">
        <div className="measure">
          <NumberEntry
            label="Lag by hand"
            unit="s"
            step={0.1}
            entered={entry?.transport_s}
            fallback={lag.transport_s}
            onEnter={(transport_s) => enter({ transport_s })}
            onDraft={(transport_s) => draft({ transport_s })(transport_s)}
          />
        </div>
        <div className="measure">
          <NumberEntry
            label="Mixing by hand"
            unit="s"
            step={0.1}
            entered={entry?.mixing_s}
            fallback={lag.mixing_s}
            onEnter={(mixing_s) => enter({ mixing_s })}
            onDraft={(mixing_s) => draft({ mixing_s })(mixing_s)}
          />
        </div>
      </div>
      {series.length > 0 && tried === undefined && (
        <p className="estimate">
          Drag the line, or type: the map shows at once what would change. Default: found in the data, since
          crop and machine settings move it from field to field.
        </p>
      )}
      <PreviewNote isOf={(edit) => triedLag(edit, lag) !== undefined} />
      <Pairs
        of={[
          ['Mixing in the machine', seconds(lag.mixing_s)],
          ['Shift applied (lag and mean of the mixing)', seconds(lag.applied_s)],
          ['Shift applied to the moisture', moistureText(lag)],
          ...byFlowPair(lag),
          ...evidencePairs(lag),
        ]}
      />
    </section>
  );
}

/** A change with flow is spoken of when chance makes so large a one less often than this. */
const SURELY = 0.01;

function byFlowPair({ lag_by_flow }: LagSummary): (readonly [string, string])[] {
  if (!lag_by_flow || lag_by_flow.p >= SURELY) return [];
  const { per_doubling_s, se_s } = lag_by_flow;
  const change = `${withSign(per_doubling_s, 2)} ± ${decimal(se_s, 2)} s; reported, not applied`;
  return [['Lag at twice the usual flow', change]];
}

const MOISTURE_FROM: Readonly<Record<string, string>> = {
  entered: 'entered',
  neighbour_agreement: 'opposite passes agree on it',
  as_grain: 'that of the grain; the field cannot tell',
};

/** The shift of the moisture, and where it is from. */
function moistureText({ moisture_s, moisture_se_s, moisture_method }: LagSummary): string {
  if (moisture_s === undefined || moisture_s === null) return 'none';
  const error = typeof moisture_se_s === 'number' ? ` ± ${decimal(moisture_se_s, 1)}` : '';
  const from = MOISTURE_FROM[moisture_method ?? ''] ?? '';
  return `${decimal(moisture_s, 1)}${error} s${from === '' ? '' : ` (${from})`}`;
}

/** The lag that is being tried here, if one is. */
function triedLag(tried: SeasonEdit | null, { field, machine }: LagSummary): LagChange | undefined {
  if (tried?.kind !== 'set_lag' || tried.field !== field || tried.machine !== machine) return undefined;
  return tried.change;
}

function evidencePairs({ curve }: LagSummary) {
  const gaps = curve.ends_of_passes?.count;
  const pairs = curve.neighbour_agreement?.count;
  return [
    ['Ends of passes that took part', gaps === undefined ? 'cannot tell' : decimal(gaps, 0)] as const,
    ['Pairs of neighbouring points', pairs === undefined ? 'cannot tell' : decimal(pairs, 0)] as const,
  ];
}
