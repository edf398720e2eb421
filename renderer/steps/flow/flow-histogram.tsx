/** Time at each flow as bars, the mean flows of the weighed loads as ticks under them. */
import { massFlow, type UnitSystem } from '../../text/quantities.ts';
import type { FlowFigures } from './flow-figures.ts';

const SIZE = { width: 340, height: 150, left: 8, right: 8, foot: 36 };

interface FlowHistogramProps {
  readonly figures: FlowFigures;
  readonly loads_kg_s: readonly number[];
  readonly units: UnitSystem;
}

export function FlowHistogram({ figures, loads_kg_s, units }: FlowHistogramProps) {
  const { seconds, bin_kg_s } = figures;
  const most = Math.max(...seconds);
  const base = SIZE.height - SIZE.foot;
  const wide = (SIZE.width - SIZE.left - SIZE.right) / seconds.length;
  const x = (flow_kg_s: number) => SIZE.left + (flow_kg_s / bin_kg_s) * wide;
  const top_kg_s = bin_kg_s * seconds.length;
  const unit = massFlow(0, units).unit;
  return (
    <figure>
      <svg
        viewBox={`0 0 ${SIZE.width} ${SIZE.height}`}
        role="img"
        aria-label={`Time at each flow, ${unit}, with the mean flows of the loads`}
      >
        {[...seconds].map((held, i) => {
          const high = most > 0 ? ((base - 6) * held) / most : 0;
          return (
            <rect
              // biome-ignore lint/suspicious/noArrayIndexKey: a bin is its place
              key={i}
              x={SIZE.left + i * wide + 0.5}
              y={base - high}
              width={wide - 1}
              height={high}
              fill="var(--accent)"
            />
          );
        })}
        <path d={`M${SIZE.left} ${base + 0.5}H${SIZE.width - SIZE.right}`} stroke="var(--edge)" />
        {loads_kg_s.map((flow_kg_s) => (
          <path
            key={flow_kg_s}
            d={`M${Math.min(x(flow_kg_s), SIZE.width - SIZE.right)} ${base + 3}v8`}
            stroke="var(--look)"
            strokeWidth="2"
          />
        ))}
        {[0, 0.25, 0.5, 0.75, 1].map((share) => (
          <text
            key={share}
            x={x(share * top_kg_s)}
            y={base + 24}
            fontSize="11"
            fill="var(--quiet)"
            textAnchor={share === 0 ? 'start' : share === 1 ? 'end' : 'middle'}
          >
            {massFlow(share * top_kg_s, units).number}
            {share === 1 ? ` ${unit}` : ''}
          </text>
        ))}
      </svg>
      <figcaption className="estimate">
        Bars: time cutting at each flow. Ticks: mean flows of the loads in the fit.
      </figcaption>
    </figure>
  );
}
