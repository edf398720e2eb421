/** Yield over the ground before and after screening. */
import { useMemo } from 'react';
import { BinnedOrder } from '../map/binned-order.ts';
import { histogramOf } from '../map/colour-scale.ts';
import { shownQuantity } from '../map/quantities.ts';
import { decimal } from '../text/quantities.ts';
import { BottomAxis, type PlotBox } from './axes.tsx';
import { axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import { roundedSpan } from './ticks.ts';
import type { YieldHistogramProps } from './types.ts';

const HEIGHT = 168;
const BINS = 48;

export function YieldHistogram(props: YieldHistogramProps) {
  const { yield_kg_m2, area_m2, screened_by, units, bushel_kg } = props;
  const shown = shownQuantity('yield', units, bushel_kg);
  const found = useMemo(
    () => histograms({ yield_kg_m2, area_m2, screened_by }, shown.per_si),
    [yield_kg_m2, area_m2, screened_by, shown.per_si],
  );
  if (!found) return <p className="chart-empty">No point has a yield yet.</p>;
  const { all, kept, low, high, share_out, mean_all, mean_kept } = found;
  const title = `Screening leaves out ${decimal(100 * share_out, 1)} % of the ground; the mean of points goes from ${decimal(mean_all, shown.digits)} to ${decimal(mean_kept, shown.digits)} ${shown.unit}`;
  const most = all.reduce((a, b) => Math.max(a, b), 0) || 1;
  return (
    <ChartFigure
      title={title}
      alt={`Histogram of yield by area. ${title}.`}
      height={HEIGHT}
      table={tableOf(found, shown.unit, shown.digits)}
      note={
        <>
          <span className="key kept">■</span> kept <span className="key all">■</span> screened;{' '}
          {decimal(100 * found.beyond, 1)}&nbsp;% of the ground lies beyond the picture
        </>
      }
    >
      {(width) => {
        const box: PlotBox = { left: 14, right: width - 20, top: 6, bottom: HEIGHT - 34 };
        const x = axisScale(low, high, box.left, box.right);
        const y = axisScale(0, most, box.bottom, box.top);
        const wide = (box.right - box.left) / BINS;
        const places = Array.from({ length: BINS }, (_, i) => ({
          key: `bin ${i}`,
          x: box.left + i * wide + 0.5,
        }));
        const bars = (bins: Float64Array, name: string) => (
          <g className={name}>
            {places.map(({ key, x: left }, i) => (
              <rect
                key={key}
                x={left}
                width={Math.max(wide - 1, 0.5)}
                y={y.of(bins[i])}
                height={box.bottom - y.of(bins[i])}
              />
            ))}
          </g>
        );
        return (
          <>
            {bars(all, 'bins all')}
            {bars(kept, 'bins kept')}
            {[mean_all, mean_kept].map((mean, i) => (
              <path
                key={i === 0 ? 'all' : 'kept'}
                d={`M${x.of(mean)} ${box.top}V${box.bottom}`}
                className={i === 0 ? 'mean all' : 'mean kept'}
              />
            ))}
            <BottomAxis scale={x} box={box} name={shown.unit} />
          </>
        );
      }}
    </ChartFigure>
  );
}

type Columns = Pick<YieldHistogramProps, 'yield_kg_m2' | 'area_m2' | 'screened_by'>;

function histograms({ yield_kg_m2, area_m2, screened_by }: Columns, per_si: number) {
  const numbers = yield_kg_m2.map((yield_of) => yield_of * per_si);
  const onGround = numbers.map((number, row) => (area_m2[row] > 0 ? number : Number.NaN));
  if (new BinnedOrder(onGround).count === 0) return undefined;
  const kept_m2 = area_m2.map((area, row) => (screened_by[row] === 0 ? area : 0));
  const [low, high] = spanOf(onGround, screened_by);
  const range = { low, high, count: BINS };
  const { bins: all, below, above } = histogramOf(onGround, area_m2, range);
  const kept = histogramOf(onGround, kept_m2, range).bins;
  const before = meanOf(onGround, area_m2);
  const after = meanOf(onGround, kept_m2);
  return {
    all,
    kept,
    low,
    high,
    beyond: (below + above) / before.area_m2,
    share_out: 1 - after.area_m2 / before.area_m2,
    mean_all: before.mean,
    mean_kept: after.mean,
  };
}

/** Where kept points lie, and as much room on either side as shows what was screened near them. */
function spanOf(numbers: Float64Array, screened_by: Uint8Array): [low: number, high: number] {
  const kept = new BinnedOrder(numbers.map((number, row) => (screened_by[row] === 0 ? number : Number.NaN)));
  const order = kept.count > 0 ? kept : new BinnedOrder(numbers);
  const [low, high] = [order.quantile(0.001), order.quantile(0.999)];
  const room = 0.2 * (high - low);
  return roundedSpan(Math.max(low - room, 0), high + room, 6);
}

/** Mean by area. */
function meanOf(numbers: Float64Array, area_m2: Float64Array): { mean: number; area_m2: number } {
  let sum = 0;
  let area = 0;
  for (let row = 0; row < numbers.length; row++) {
    if (Number.isNaN(numbers[row]) || !(area_m2[row] > 0)) continue;
    sum += numbers[row] * area_m2[row];
    area += area_m2[row];
  }
  return { mean: sum / area, area_m2: area };
}

/** Eight coarse classes are enough to hear. */
function tableOf(found: NonNullable<ReturnType<typeof histograms>>, unit: string, digits: number) {
  const classes = 8;
  const each = BINS / classes;
  const sumOf = (bins: Float64Array, i: number) =>
    bins.slice(i * each, (i + 1) * each).reduce((a, b) => a + b, 0);
  const edge = (i: number) => decimal(found.low + ((found.high - found.low) * i) / classes, digits);
  return {
    head: [`Yield, ${unit}`, 'All ground, ha', 'Kept, ha'],
    rows: Array.from({ length: classes }, (_, i) => [
      `${edge(i)} to ${edge(i + 1)}`,
      decimal(sumOf(found.all, i) / 10_000, 2),
      decimal(sumOf(found.kept, i) / 10_000, 2),
    ]),
  };
}
