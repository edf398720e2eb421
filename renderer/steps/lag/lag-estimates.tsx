/** Both estimates of a lag and the one in use on one scale of seconds. */
import type { LagSummary } from '../../../core/result.ts';
import { decimal } from '../../text/quantities.ts';

const WIDTH = 340;

export function LagEstimates({ lag }: { readonly lag: LagSummary }) {
  const { transport_s, transport_se_s, neighbour_transport_s } = lag;
  const shown = [transport_s, neighbour_transport_s].filter((at_s) => at_s !== null);
  if (shown.length === 0) return null;
  const low_s = Math.floor(Math.min(...shown) - 1.5);
  const high_s = Math.ceil(Math.max(...shown) + 1.5);
  const x = (at_s: number) => 12 + ((WIDTH - 24) * (at_s - low_s)) / (high_s - low_s);
  const ticks = Array.from({ length: high_s - low_s + 1 }, (_, i) => low_s + i);
  const half_s = 1.96 * (transport_se_s ?? 0);
  return (
    <svg viewBox={`0 0 ${WIDTH} 58`} role="img" aria-label={wordsOf(lag)}>
      <path d={`M12 30.5H${WIDTH - 12}`} stroke="var(--edge)" />
      {ticks.map((at_s) => (
        <g key={at_s}>
          <path d={`M${x(at_s)} 30v5`} stroke="var(--edge)" />
          <text x={x(at_s)} y="48" fontSize="11" textAnchor="middle" fill="var(--quiet)">
            {at_s === high_s ? `${at_s} s` : at_s}
          </text>
        </g>
      ))}
      {transport_s !== null && (
        <>
          <path
            d={`M${x(transport_s - half_s)} 20H${x(transport_s + half_s)}`}
            stroke="var(--accent)"
            strokeWidth="2"
          />
          <path d={`M${x(transport_s)} 30V14`} stroke="var(--accent)" strokeWidth="2" />
          <text x={x(transport_s)} y="10" fontSize="11" textAnchor="middle" fill="var(--ink)">
            in use
          </text>
        </>
      )}
      {neighbour_transport_s !== null && (
        <path
          d={`M${x(neighbour_transport_s)} 24l4 5-4 5-4-5z`}
          fill="var(--raised)"
          stroke="var(--look)"
          strokeWidth="1.5"
        />
      )}
    </svg>
  );
}

function wordsOf({ transport_s, neighbour_transport_s }: LagSummary): string {
  const neighbours =
    neighbour_transport_s === null ? '' : `; by neighbouring passes ${decimal(neighbour_transport_s, 1)} s`;
  return `Lag in use ${decimal(transport_s, 1)} s${neighbours}`;
}
