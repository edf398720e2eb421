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

export function LagCurve({ series, applied_s, method, onLagChange }: LagCurveProps) {
  const [dragged_s, setDragged] = useState<number | null>(null);
  const shown_s = dragged_s ?? applied_s;
  const lags = [...series.flatMap(({ lag_s }) => [lag_s[0], lag_s.at(-1) ?? Number.NaN]), applied_s].filter(
    Number.isFinite,
  );
  const [low, high] = [Math.min(...lags), Math.max(...lags)];
  const title = findingOf(series, applied_s, method);
  const span = high > low ? { low, high } : { low: applied_s - 10, high: applied_s + 10 };
  return (
    <ChartFigure
      title={title}
      alt={`Lag curves. ${title}`}
      height={HEIGHT}
      holds={onLagChange && 'controls'}
      table={{
        head: ['Estimator', 'Least at, s', '±, s'],
        rows: series.map(({ label, best_s, se_s }) => [label, decimal(best_s, 1), decimal(se_s, 1)]),
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
              onDrag={onLagChange && setDragged}
              onDrop={(lag_s) => {
                setDragged(null);
                onLagChange?.(lag_s);
              }}
            />
          </>
        );
      }}
    </ChartFigure>
  );
}

function Curve({ series, place, x, box }: { series: LagSeries; place: number; x: AxisScale; box: PlotBox }) {
  const costs = series.cost.filter(Number.isFinite);
  const [least, most] = [Math.min(...costs), Math.max(...costs)];
  const y = axisScale(least, most > least ? most : least + 1, box.bottom - 8, box.top + 6);
  const path = series.lag_s
    .map((lag_s, i) =>
      Number.isFinite(series.cost[i]) ? `${x.of(lag_s).toFixed(1)} ${y.of(series.cost[i]).toFixed(1)}` : '',
    )
    .filter((at) => at !== '')
    .join('L');
  const { best_s, se_s } = series;
  return (
    <g className={`curve series-${place}`}>
      {best_s !== null && se_s !== null && (
        <rect
          x={x.of(best_s - 2 * se_s)}
          width={Math.max(x.of(best_s + 2 * se_s) - x.of(best_s - 2 * se_s), 1)}
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
  readonly onDrag?: (lag_s: number) => void;
  readonly onDrop: (lag_s: number) => void;
}

/** The lag in use: a line that can be pulled where that is allowed. */
function Applied({ x, box, lag_s, onDrag, onDrop }: AppliedProps) {
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
    onDrop(held(lag_s + way * (event.shiftKey ? KEY_STEP_S.shift : KEY_STEP_S.plain)));
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
        {`in use ${decimal(lag_s, 1)} s`}
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
      onPointerUp={(event) => onDrop(lagAt(event))}
      onKeyDown={press}
    >
      <rect
        x={x.of(lag_s) - 8}
        width={16}
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
      `${decimal(best_s, 1)}${se_s === null ? '' : ` ± ${decimal(se_s, 1)}`} s by ${label.toLowerCase()}`,
  );
  return `Least at ${words.join(', ')}`;
}
