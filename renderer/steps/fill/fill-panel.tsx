/** Fill: how the beam's empty level, chain and clock look, a machine at a time. */
import type { SignalSummary } from '../../../core/result.ts';
import { machineName } from '../../session/season-figures.ts';
import { decimal, percentOf, speed } from '../../text/quantities.ts';
import { counted, plain } from '../../text/words.ts';
import { NumberEntry, Pairs, Panel, type StepContext } from '../panel.tsx';
import { HealthDays } from './health-days.tsx';

export function FillPanel({ summary, season, session, units }: StepContext) {
  const signal = season.settings?.signal;
  return (
    <Panel
      title="Fill"
      finding={findingOf(summary.signals)}
      meaning={
        <p>
          The beam sees each paddle and the grain heaped on it. What it sees of an empty paddle is taken off;
          a wrong empty level is this sensor’s largest error at low flow. It is read in the log whenever the
          elevator runs empty, so that dust and chain stretch show as drift instead of as yield.
        </p>
      }
    >
      {summary.signals.map((machine) => (
        <section key={machine.machine}>
          <h3>{machineName(season, machine.machine)}</h3>
          <EmptyLevelBar signal={machine} />
          <Pairs of={pairsOf(machine, units)} />
        </section>
      ))}
      <HealthDays days={summary.health ?? []} season={season} />
      <section>
        <h3>By hand</h3>
        <div className="form-grid">
          <div className="measure">
            <NumberEntry
              label="Empty level (found in the log)"
              unit="of 1"
              entered={signal?.empty_level}
              fallback={null}
              onEnter={(empty_level) => void session.edit({ kind: 'set_signal', change: { empty_level } })}
            />
          </div>
          <div className="measure">
            <NumberEntry
              label="Bridge lit gaps shorter than (found)"
              unit="ms"
              entered={signal?.bridge_lit_ms}
              fallback={null}
              onEnter={(bridge_lit_ms) =>
                void session.edit({ kind: 'set_signal', change: { bridge_lit_ms } })
              }
            />
          </div>
          <div className="measure">
            <NumberEntry
              label="Drop dark blips shorter than (found)"
              unit="ms"
              entered={signal?.drop_dark_ms}
              fallback={null}
              onEnter={(drop_dark_ms) => void session.edit({ kind: 'set_signal', change: { drop_dark_ms } })}
            />
          </div>
        </div>
      </section>
    </Panel>
  );
}

function findingOf(signals: readonly SignalSummary[]): string {
  if (signals.length === 0) return 'These logs carry a flow already; there is no beam to judge.';
  const odd = signals.reduce((sum, { odd_paddles }) => sum + odd_paddles.length, 0);
  const drift = Math.max(
    ...signals.map(({ empty_level: { first, last } }) =>
      first === null || last === null ? 0 : Math.abs(last - first),
    ),
  );
  const chain =
    odd === 0 ? 'no paddle is bent or missing' : `${counted(odd, 'paddle')} on the chain stand out`;
  const sure = signals.every(({ empty_level }) => empty_level.method === 'measured')
    ? 'The empty level was measured in the log'
    : 'For some logs the empty level rests on the paddle sheet, not on the log';
  return `${sure} and moved by ${percentOf(drift, 2).number} % of a paddle period over the season; ${chain}.`;
}

function pairsOf(signal: SignalSummary, units: 'us' | 'metric') {
  const { empty_level: empty, clock } = signal;
  const drifts = clock.map(({ drift_ppm }) => decimal(drift_ppm, 1)).join(', ');
  const odd = signal.odd_paddles.map(
    ({ place, extra_dark_fraction }) => `no. ${place} (${percentOf(extra_dark_fraction, 2).number} %)`,
  );
  const chatter = signal.lit_gaps_bridged + signal.dark_blips_dropped;
  return [
    [
      `Empty level, ${plain(empty.method)} in ${counted(empty.spells, 'spell')}`,
      { number: `${percentOf(empty.first, 2).number} → ${percentOf(empty.last, 2).number}`, unit: '%' },
    ],
    ['Empty level by the paddle sheet', percentOf(empty.geometry, 2)],
    ['Odd paddles', odd.length === 0 ? 'none' : odd.join(', ')],
    ['Paddles', { number: decimal(signal.paddles, 0), unit: '' }],
    [
      'Missed, hidden, extra',
      `${decimal(signal.missed, 0)}, ${decimal(signal.hidden, 0)}, ${decimal(signal.extra, 0)}`,
    ],
    ['Flickers removed', { number: decimal(chatter, 0), unit: '' }],
    [
      'Flickers: lit gaps bridged up to',
      { number: signal.bridge_lit_ms.map((ms) => decimal(ms, 2)).join(', ') || '–', unit: 'ms' },
    ],
    ['Chain speed', speed(signal.chain_speed_m_s, units)],
    ['Scatter of paddle periods', { number: decimal(signal.period_jitter_pct, 2), unit: '%' }],
    ['Slower under full load', { number: decimal(signal.slip_pct, 1), unit: '%' }],
    ['Drift of the logger’s clock', { number: drifts || '–', unit: 'ppm' }],
  ] as const;
}

/** First and last empty level beside that of the paddle sheet, on one scale. */
function EmptyLevelBar({ signal }: { readonly signal: SignalSummary }) {
  const { first, last, geometry } = signal.empty_level;
  const levels = [first, last, geometry].filter((level) => level !== null);
  if (levels.length < 2) return null;
  const low = Math.min(...levels);
  const reach = Math.max(Math.max(...levels) - low, 0.005);
  const x = (level: number) => 20 + (280 * (level - low + 0.1 * reach)) / (1.2 * reach);
  const mark = (level: number | null, words: string, y: number) =>
    level === null ? null : (
      <g>
        <circle
          cx={x(level)}
          cy={22}
          r="4"
          fill={words === 'sheet' ? 'none' : 'var(--accent)'}
          stroke="var(--accent)"
          strokeWidth="1.5"
        />
        <text x={x(level)} y={y} textAnchor="middle" fontSize="11" fill="var(--quiet)">
          {words}
        </text>
      </g>
    );
  return (
    <svg
      viewBox="0 0 320 44"
      role="img"
      aria-label="Empty level at the season’s beginning and end, and by the paddle sheet"
    >
      <path d="M10 22H310" stroke="var(--hair)" />
      {mark(geometry, 'sheet', 40)}
      {mark(first, 'first', 12)}
      {mark(last, 'last', 12)}
    </svg>
  );
}
