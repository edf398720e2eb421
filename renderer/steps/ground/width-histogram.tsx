/** How much of the way was driven at which share of the header's width. */
import { percentOf, type UnitSystem, width } from '../../text/quantities.ts';
import type { GroundFigures } from './ground-figures.ts';

const SIZE = { width: 340, height: 120, left: 8, right: 8, foot: 24 };

export function WidthHistogram({
  figures,
  units,
}: {
  readonly figures: GroundFigures;
  readonly units: UnitSystem;
}) {
  const { distance_m, header_m } = figures;
  const most = Math.max(...distance_m);
  const whole = distance_m.reduce((sum, way_m) => sum + way_m, 0);
  const base = SIZE.height - SIZE.foot;
  const wide = (SIZE.width - SIZE.left - SIZE.right) / distance_m.length;
  const full = percentOf(whole > 0 ? distance_m[distance_m.length - 1] / whole : Number.NaN, 0);
  return (
    <figure>
      <svg
        viewBox={`0 0 ${SIZE.width} ${SIZE.height}`}
        role="img"
        aria-label={`${full.number} % of the way was driven with a full header`}
      >
        {[...distance_m].map((way_m, i) => {
          // A root scale: next to the full header the narrow cuts would vanish.
          const high = most > 0 ? (base - 4) * Math.sqrt(way_m / most) : 0;
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
        {[0, 0.5, 1].map((share) => {
          const at = width(share * header_m, units);
          return (
            <text
              key={share}
              x={SIZE.left + share * (SIZE.width - SIZE.left - SIZE.right)}
              y={base + 16}
              fontSize="11"
              fill="var(--quiet)"
              textAnchor={share === 0 ? 'start' : share === 1 ? 'end' : 'middle'}
            >
              {at.number} {share === 1 ? at.unit : ''}
            </text>
          );
        })}
      </svg>
      <figcaption className="estimate">
        {full.number} % of the way with a full header (heights on a root scale).
      </figcaption>
    </figure>
  );
}
