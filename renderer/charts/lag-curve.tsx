/** Where the lag was found: what each estimator makes small, and how sharply. */
import { type KeyboardEvent, type PointerEvent, useState } from 'react';
import { decimal } from '../text/quantities.ts';
import { methodWords } from '../text/words.ts';
import { BottomAxis, type PlotBox } from './axes.tsx';
import { type AxisScale, axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import type { LagCurveProps, LagSeries } from './types.ts';

const HEIGHT = 190;
const KEY_STEP_S = { plain: 0.1, shift: 1 };

export function LagCurve({ series, applied_s, method, word = 'in use', onLagDrag }: LagCurveProps) {
  const [dragged_s, setDragged] = useState<number | null>(null);
  const shown_s = dragged_s ?? applied_s;
  const span = spanOf(series, applied_s);
  const title = findingOf(series, applied_s, method);
  return (
    <ChartFigure
      title={title}
      alt={`Lag curves. ${title}`}
      height={HEIGHT}
      holds={onLagDrag && 'controls'}
      table={{
        head: ['Estimator', 'Least at, s', '±, s'],
        rows: series.map(({ label, best_s, se_s }) => [label, decimal(best_s, 2), decimal(wide(se_s), 2)]),
      }}
      note={series.map(({ label }, i) => (
        <span key={label}>
          <span className={`key series-${i}`}>—</span> {label}{' '}
        </span>
      ))}
    >
      {(width) => {
        const box: PlotBox = { left: 10, right: width - 10, top: 26, bottom: HEIGHT - 34 };
        const x = axisScale(span.low, span.high, box.left, box.right);
        return (
          <>
            {series.map((one, i) => (
              <Curve key={one.label} series={one} place={i} x={x} box={box} />
            ))}
            <BottomAxis scale={x} box={box} name="lag, s" count={6} />
            <Applied
              x={x}
              box={box}
              lag_s={shown_s}
              word={dragged_s === null ? word : 'tried'}
              onDrag={
                onLagDrag &&
                ((lag_s) => {
                  setDragged(lag_s);
                  onLagDrag(lag_s);
                })
              }
              onDrop={() => setDragged(null)}
            />
          </>
        );
      }}
    </ChartFigure>
  );
}

/** Seconds shown on either side of what was found; the curves reach further, and say nothing there. */
const AROUND_S = 12;

function spanOf(series: readonly LagSeries[], applied_s: number): { low: number; high: number } {
  const found = series.flatMap(({ best_s }) => (best_s === null ? [] : [best_s]));
  const places = found.length > 0 ? found : [applied_s];
  return {
    low: Math.min(Math.floor(Math.min(...places) - AROUND_S), Math.floor(applied_s - 1)),
    high: Math.max(Math.ceil(Math.max(...places) + AROUND_S), Math.ceil(applied_s + 1)),
  };
}

/** A small error keeps a digit that says something. */
function errorText(se_s: number): string {
  return decimal(1.96 * se_s, 1.96 * se_s < 0.095 ? 2 : 1);
}

/** Half of the 95 % interval. */
function wide(se_s: number | null): number | null {
  return se_s === null ? null : 1.96 * se_s;
}

function Curve({ series, place, x, box }: { series: LagSeries; place: number; x: AxisScale; box: PlotBox }) {
  const isShown = (i: number) =>
    Number.isFinite(series.cost[i]) && series.lag_s[i] >= x.low && series.lag_s[i] <= x.high;
  const costs = series.cost.filter((_, i) => isShown(i));
  const [least, most] = [Math.min(...costs), Math.max(...costs)];
  const y = axisScale(least, most > least ? most : least + 1, box.bottom - 8, box.top + 6);
  const path = series.lag_s
    .map((lag_s, i) => (isShown(i) ? `${x.of(lag_s).toFixed(1)} ${y.of(series.cost[i]).toFixed(1)}` : ''))
    .filter((at) => at !== '')
    .join('L');
  const { best_s, se_s } = series;
  return (
    <g className={`curve series-${place}`}>
      {best_s !== null && se_s !== null && (
        <rect
          x={x.of(best_s - 1.96 * se_s)}
          width={Math.max(x.of(best_s + 1.96 * se_s) - x.of(best_s - 1.96 * se_s), 1)}
          y={box.top}
          height={box.bottom - box.top}
          className="sure"
        />
      )}
      {path !== '' && <path d={`M${path}`} className="line" />}
      {best_s !== null && <circle cx={x.of(best_s)} cy={box.bottom - 8} r={3.5} className="best" />}
    </g>
  );
}

interface AppliedProps {
  readonly x: AxisScale;
  readonly box: PlotBox;
  readonly lag_s: number;
  readonly word: string;
  readonly onDrag?: (lag_s: number) => void;
  readonly onDrop: () => void;
}

/** The lag in use: a line that can be pulled where that is allowed. */
function Applied({ x, box, lag_s, word, onDrag, onDrop }: AppliedProps) {
  const held = (number: number) => Math.round(10 * Math.min(Math.max(number, x.low), x.high)) / 10;
  const lagAt = (event: PointerEvent<SVGGElement>) => {
    const left = event.currentTarget.ownerSVGElement?.getBoundingClientRect().left ?? 0;
    const share = (event.clientX - left - box.left) / (box.right - box.left);
    return held(x.low + share * (x.high - x.low));
  };
  const press = (event: KeyboardEvent) => {
    const way = event.key === 'ArrowLeft' ? -1 : event.key === 'ArrowRight' ? 1 : 0;
    if (way === 0) return;
    event.preventDefault();
    onDrag?.(held(lag_s + way * (event.shiftKey ? KEY_STEP_S.shift : KEY_STEP_S.plain)));
  };
  const line = (
    <>
      <path d={`M${x.of(lag_s)} ${box.top - 4}V${box.bottom}`} className="applied" />
      <text
        x={Math.min(Math.max(x.of(lag_s), box.left + 40), box.right - 40)}
        y={box.top - 10}
        textAnchor="middle"
        className="applied-word"
      >
        {`${word} ${decimal(lag_s, 1)} s`}
      </text>
    </>
  );
  if (!onDrag) return <g>{line}</g>;
  return (
    <g
      className="handle"
      role="slider"
      tabIndex={0}
      aria-label="Lag in use, s"
      aria-valuenow={lag_s}
      aria-valuemin={x.low}
      aria-valuemax={x.high}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) =>
        event.currentTarget.hasPointerCapture(event.pointerId) && onDrag(lagAt(event))
      }
      onPointerUp={onDrop}
      onPointerCancel={onDrop}
      onKeyDown={press}
      onBlur={onDrop}
    >
      <rect
        x={x.of(lag_s) - 12}
        width={24}
        y={box.top - 22}
        height={box.bottom - box.top + 22}
        className="reach"
      />
      {line}
    </g>
  );
}

function findingOf(series: readonly LagSeries[], applied_s: number, method: string): string {
  const told = series.filter(({ best_s }) => best_s !== null);
  if (told.length === 0)
    return `No curve has a least: lag of ${decimal(applied_s, 1)} s, ${methodWords(method)}`;
  const words = told.map(
    ({ label, best_s, se_s }) =>
      `${decimal(best_s, 1)}${se_s === null ? '' : ` ± ${errorText(se_s)}`} s by ${label.toLowerCase()}`,
  );
  return `Least at ${words.join(', ')}`;
}
