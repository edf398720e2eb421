/** Histogram of the legend: ground by what is shown, each bar in the colour that it has on the map. */
import { ticksBetween } from '../charts/ticks.ts';
import { decimal } from '../text/quantities.ts';
import { classIndex } from './breaks.ts';
import { LimitHandles } from './limit-handles.tsx';
import { hexFromRgb } from './ramps.ts';
import type { Painted } from './use-paint.ts';

const SIZE = { width: 236, height: 46, bar: 8, foot: 16 };
/** Least distance of two labels, px a character and a gap. */
const LABEL = { character: 6.6, gap: 9 };

interface LegendHistogramProps {
  readonly painted: Painted;
  /** Moves the limits, on the way too; absent: they stay where they are. */
  readonly onLimits?: (limits_si: readonly number[]) => void;
}

export function LegendHistogram({ painted, onLimits }: LegendHistogramProps) {
  const { histogram, scale, shown } = painted;
  const { low, high, bins } = histogram;
  const xOf = (number: number) => ((number - low) / (high - low)) * SIZE.width;
  const most = bins.reduce((a, b) => Math.max(a, b), 0) || 1;
  const wide = SIZE.width / bins.length;
  const middles = Array.from(bins, (_, i) => low + ((i + 0.5) / bins.length) * (high - low));
  const marks = scale.method === 'continuous' ? ticksBetween(low, high, 5).at : scale.limits;
  const digits = digitsFor(marks, shown.digits);
  const labels = spaced(marks, xOf, (mark) => decimal(mark, digits));
  const total = bins.reduce((a, b) => a + b, 0) + histogram.below + histogram.above || 1;
  const beyond = (histogram.below + histogram.above) / total;
  const top = middles[bins.indexOf(most)] ?? low;
  const words = `Ground by ${shown.name.toLowerCase()}: most at ${decimal(top, digits)} ${shown.unit}, from ${decimal(scale.low, digits)} to ${decimal(scale.high, digits)} ${shown.unit} in the middle 96 %; ${decimal(100 * beyond, 1)} % lies beyond the picture.`;
  return (
    <svg
      className="map-histogram"
      width={SIZE.width}
      height={SIZE.height + SIZE.bar + SIZE.foot}
      role={onLimits ? 'group' : 'img'}
      aria-label={words}
    >
      {!onLimits && <title>{words}</title>}
      {middles.map((middle, i) => (
        <rect
          key={middle}
          x={i * wide}
          width={wide + 0.4}
          y={SIZE.height - (bins[i] / most) * SIZE.height}
          height={(bins[i] / most) * SIZE.height}
          fill={hexFromRgb(scale.colourAt(middle))}
        />
      ))}
      {bandsOf(painted).map(({ from, to, colour }) => (
        <rect
          key={from}
          x={xOf(from)}
          width={Math.max(xOf(to) - xOf(from), 0)}
          y={SIZE.height + 1}
          height={SIZE.bar - 1}
          fill={colour}
        />
      ))}
      {labels.map(({ at, text }) => (
        <g key={at}>
          <path d={`M${xOf(at)} ${SIZE.height + SIZE.bar}v3`} className="tick" />
          <text x={xOf(at)} y={SIZE.height + SIZE.bar + 13} textAnchor="middle">
            {text}
          </text>
        </g>
      ))}
      {onLimits && <LimitHandles painted={painted} size={SIZE} onLimits={onLimits} />}
    </svg>
  );
}

/** The colours as they lie along the axis. */
function bandsOf({ histogram, scale }: Painted): { from: number; to: number; colour: string }[] {
  const { low, high } = histogram;
  if (scale.method !== 'continuous') {
    const ends = [low, ...scale.limits.filter((limit) => limit > low && limit < high), high];
    return ends.slice(1).map((to, i) => ({
      from: ends[i],
      to,
      colour: hexFromRgb(scale.colours[classIndex(scale.limits, (ends[i] + to) / 2)]),
    }));
  }
  const steps = 59;
  return Array.from({ length: steps }, (_, i) => {
    const from = low + ((high - low) * i) / steps;
    const to = low + ((high - low) * (i + 1.05)) / steps;
    return { from, to: Math.min(to, high), colour: hexFromRgb(scale.colourAt((from + to) / 2)) };
  });
}

/** Every label, or every second, or third … : as many as there is room for, evenly about the middle. */
function spaced(marks: readonly number[], xOf: (mark: number) => number, textOf: (mark: number) => string) {
  const labels = marks.map((at) => ({ at, text: textOf(at) }));
  const halfOf = ({ text }: { text: string }) => (text.length * LABEL.character) / 2;
  const inside = labels.filter(
    (label) => xOf(label.at) - halfOf(label) >= -4 && xOf(label.at) + halfOf(label) <= SIZE.width + 4,
  );
  for (let every = 1; every < inside.length; every++) {
    const first = Math.floor(((inside.length - 1) % every) / 2);
    const kept = inside.filter((_, i) => i >= first && (i - first) % every === 0);
    const fits = kept.every(
      (label, i) =>
        i === 0 || xOf(label.at) - xOf(kept[i - 1].at) >= halfOf(label) + halfOf(kept[i - 1]) + LABEL.gap,
    );
    if (fits) return kept;
  }
  return inside.slice(0, 1);
}

/** The fewest digits that tell the limits apart, not more than a readout has. */
function digitsFor(marks: readonly number[], most: number): number {
  for (let digits = 0; digits < most; digits++) {
    if (marks.every((mark) => Math.abs(mark * 10 ** digits - Math.round(mark * 10 ** digits)) < 1e-6))
      return digits;
  }
  return most;
}
