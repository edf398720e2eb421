/** Lag: how long after the cut the beam sees the grain; both estimates, and an entry by hand. */
import type { LagSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { machineName } from '../../session/season-figures.ts';
import { decimal, seconds } from '../../text/quantities.ts';
import { methodWords } from '../../text/words.ts';
import { NumberEntry, Pairs, Panel, type StepContext } from '../panel.tsx';
import { LagEstimates } from './lag-estimates.tsx';

export function LagPanel(context: StepContext) {
  const { summary, field, season } = context;
  const lags = summary.lags.filter((lag) => lag.field === field.name);
  const isUnsmeared = season.settings?.unsmear?.on === true;
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
      {isUnsmeared && <p className="estimate">Grain is also unsmeared, as the season sheet asks.</p>}
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

function LagOfMachine({ lag, season, session }: StepContext & { readonly lag: LagSummary }) {
  const entry = season.settings?.lags?.find((one) => one.field === lag.field && one.machine === lag.machine);
  const enter = (change: {
    transport_s?: number | null;
    mixing_s?: number | null;
    moisture_s?: number | null;
  }) => void session.edit({ kind: 'set_lag', field: lag.field, machine: lag.machine, change });
  const state = lag.method === 'assumed' ? 'look' : 'good';
  return (
    <section>
      <h3>
        <span>
          <StateMark state={state} /> {machineName(season, lag.machine)}
        </span>
        <span className="quiet">{methodWords(lag.method)}</span>
      </h3>
      <LagEstimates lag={lag} />
      <Pairs
        of={[
          ['Ends of passes', estimateOf(lag)],
          [
            'Neighbouring passes',
            lag.neighbour_transport_s === null ? 'cannot tell here' : seconds(lag.neighbour_transport_s),
          ],
          ['Mixing in the machine', seconds(lag.mixing_s)],
          ['Shift applied (lag and mean of the mixing)', seconds(lag.applied_s)],
          ...(lag.unsmear_noise_gain === null
            ? []
            : [
                [
                  'Noise added by unsmearing',
                  { number: decimal(lag.unsmear_noise_gain, 2), unit: '×' },
                ] as const,
              ]),
        ]}
      />
      <div className="form-grid">
        <div className="measure">
          <NumberEntry
            label="Lag by hand"
            unit="s"
            step={0.1}
            entered={entry?.transport_s}
            fallback={lag.transport_s}
            onEnter={(transport_s) => enter({ transport_s })}
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
          />
        </div>
      </div>
      <p className="estimate">
        Default: found in the data, since crop and machine settings move it from field to field.
      </p>
    </section>
  );
}

function estimateOf(lag: LagSummary) {
  if (lag.method !== 'ends_of_passes') return methodWords(lag.method);
  const se = lag.transport_se_s === null ? '' : ` ± ${decimal(1.96 * lag.transport_se_s, 2)}`;
  return { number: `${decimal(lag.transport_s, 2)}${se}`, unit: 's' };
}
