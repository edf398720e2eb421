/** How much yields differ by distance: what was found, and the model that cells are weighed by, which can be pulled. */
import type { KeyboardEvent, PointerEvent } from 'react';
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { semivarianceOf, type VariogramModel } from '../../../core/surface/variogram-model.ts';
import { BottomAxis, LeftAxis, type PlotBox } from '../../charts/axes.tsx';
import { type AxisScale, axisScale } from '../../charts/axis-scale.ts';
import { ChartFigure } from '../../charts/chart-figure.tsx';
import { decimal } from '../../text/quantities.ts';
import type { ShownUnit, SurfaceUnits } from './surface-units.ts';
import { handlePlace, modelMoved, type VariogramHandle } from './variogram-handles.ts';

const HEIGHT = 220;
const CURVE_STEPS = 80;
/** Room above what was found, so that a sill can be pulled up. */
const ROOM = 1.25;

interface VariogramChartProps {
  readonly details: SurfaceReply;
  readonly shown: SurfaceUnits;
  /** The model in use, or the one that is tried. */
  readonly model: VariogramModel | null;
  readonly onModel: (model: VariogramModel) => void;
}

export function VariogramChart({ details, shown, model, onModel }: VariogramChartProps) {
  const { length, square } = shown;
  const { variogram } = details;
  if (variogram.length < 2) return null;
  const longest_m = variogram[variogram.length - 1].distance_m;
  const highest = Math.max(
    ...variogram.map((row) => row.semivariance),
    details.model === null ? 0 : handlePlace(details.model, 'sill'),
  );
  const range_m = model === null ? null : handlePlace(model, 'range');
  const title =
    range_m === null
      ? 'Yields differ alike at every distance.'
      : `Yields are alike up to about ${decimal(length.per_si * range_m, 0)} ${length.unit}.`;
  return (
    <ChartFigure
      title={title}
      alt={`Variogram. ${title}`}
      height={HEIGHT}
      holds={model === null ? undefined : 'controls'}
      note={
        <>
          <span className="key series-0">—</span> model <span className="key series-1">—</span> by direction
          {model !== null && '. Pull nugget, sill and range, or type them below.'}
        </>
      }
      table={tableOf(details, shown)}
    >
      {(width) => {
        const box: PlotBox = { left: 46, right: width - 12, top: 24, bottom: HEIGHT - 34 };
        const x = axisScale(0, length.per_si * longest_m * 1.03, box.left, box.right);
        const y = axisScale(0, square.per_si * highest * ROOM, box.bottom, box.top);
        return (
          <>
            <LeftAxis scale={y} box={box} name={`half mean square of differences, ${square.unit}`} />
            <BottomAxis scale={x} box={box} name={`distance, ${length.unit}`} />
            <Directions details={details} shown={shown} x={x} y={y} />
            {model !== null && (
              <g className="curve series-0">
                <path d={curvePath(model, shown, longest_m, { x, y })} className="line" />
              </g>
            )}
            <g className="load used">
              {variogram.map((row) => (
                <circle
                  key={row.distance_m}
                  cx={x.of(length.per_si * row.distance_m)}
                  cy={y.of(square.per_si * row.semivariance)}
                  r={3.2}
                  className="mark"
                />
              ))}
            </g>
            {model !== null &&
              (['sill', 'range', 'nugget'] as const).map((handle) => (
                <Handle
                  key={handle}
                  handle={handle}
                  model={model}
                  unit={handle === 'range' ? length : square}
                  scale={handle === 'range' ? x : y}
                  box={box}
                  onModel={onModel}
                />
              ))}
          </>
        );
      }}
    </ChartFigure>
  );
}

const WORDS = { nugget: 'Nugget', sill: 'Sill', range: 'Range' } as const;
const WAYS: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };
/** A key moves a handle by this share of the axis. */
const KEY_SHARE = { plain: 0.01, shift: 0.05 };

interface HandleProps {
  readonly handle: VariogramHandle;
  readonly model: VariogramModel;
  readonly unit: ShownUnit;
  readonly scale: AxisScale;
  readonly box: PlotBox;
  readonly onModel: (model: VariogramModel) => void;
}

/** A line across the picture that can be pulled: the nugget's at the left edge, the sill's at the right one. */
function Handle({ handle, model, unit, scale, box, onModel }: HandleProps) {
  const place = unit.per_si * handlePlace(model, handle);
  const at = scale.of(Math.min(place, scale.high));
  /** A range may lie beyond the picture: keys move it from there, a pointer within. */
  const most = Math.max(scale.high, place);
  const move = (to: number) =>
    onModel(modelMoved(model, handle, Math.min(Math.max(to, scale.low), most) / unit.per_si));
  const drag = (event: PointerEvent<SVGGElement>) => {
    if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
    const corner = event.currentTarget.ownerSVGElement?.getBoundingClientRect();
    const share =
      handle === 'range'
        ? (event.clientX - (corner?.left ?? 0) - box.left) / (box.right - box.left)
        : (box.bottom - event.clientY + (corner?.top ?? 0)) / (box.bottom - box.top);
    move(scale.low + Math.min(share, 1) * (scale.high - scale.low));
  };
  const press = (event: KeyboardEvent) => {
    const way = WAYS[event.key] ?? 0;
    if (way === 0) return;
    event.preventDefault();
    move(place + way * (event.shiftKey ? KEY_SHARE.shift : KEY_SHARE.plain) * (scale.high - scale.low));
  };
  const words = `${WORDS[handle]}, ${unit.unit}`;
  return (
    <g
      className={`handle across-${handle}`}
      role="slider"
      tabIndex={0}
      aria-label={words}
      aria-orientation={handle === 'range' ? 'horizontal' : 'vertical'}
      aria-valuenow={Number(place.toPrecision(4))}
      aria-valuemin={scale.low}
      aria-valuemax={Number(most.toPrecision(4))}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={drag}
      onKeyDown={press}
    >
      <HandleLine handle={handle} at={at} box={box} />
    </g>
  );
}

/** So far to either side a pointer takes hold, px. */
const REACH_PX = 8;
const NUGGET_PX = 44;

function HandleLine({ handle, at, box }: { handle: VariogramHandle; at: number; box: PlotBox }) {
  if (handle === 'range')
    return (
      <>
        <rect
          x={at - REACH_PX}
          width={2 * REACH_PX}
          y={box.top}
          height={box.bottom - box.top}
          className="reach"
        />
        <path d={`M${at} ${box.top}V${box.bottom}`} className="pull" />
        <circle cx={at} cy={box.bottom} r={4.5} className="grip" />
        <text
          x={at + (at > box.right - 60 ? -7 : 7)}
          y={box.bottom - 8}
          textAnchor={at > box.right - 60 ? 'end' : 'start'}
        >
          range
        </text>
      </>
    );
  const [from, to] =
    handle === 'nugget' ? [box.left, box.left + NUGGET_PX] : [box.left + NUGGET_PX, box.right];
  return (
    <>
      <rect x={from} width={to - from} y={at - REACH_PX} height={2 * REACH_PX} className="reach" />
      <path d={`M${from} ${at}H${to}`} className="pull" />
      <circle cx={handle === 'nugget' ? from : to} cy={at} r={4.5} className="grip" />
      <text x={(handle === 'nugget' ? from : box.left) + 9} y={at - 6}>
        {handle}
      </text>
    </>
  );
}

function curvePath(
  model: VariogramModel,
  { length, square }: SurfaceUnits,
  longest_m: number,
  { x, y }: { readonly x: AxisScale; readonly y: AxisScale },
): string {
  const semivariance = semivarianceOf(model);
  const places = Array.from({ length: CURVE_STEPS }, (_, k) => {
    const distance_m = ((k + 0.01) / (CURVE_STEPS - 1)) * longest_m;
    const high = Math.min(square.per_si * semivariance(distance_m), y.high);
    return `${x.of(length.per_si * distance_m).toFixed(1)} ${y.of(high).toFixed(1)}`;
  });
  return `M${places.join('L')}`;
}

interface DirectionsProps extends Pick<VariogramChartProps, 'details' | 'shown'> {
  readonly x: AxisScale;
  readonly y: AxisScale;
}

/** Faint lines of the variograms by direction. */
function Directions({ details, shown: { length, square }, x, y }: DirectionsProps) {
  return details.directions.map(({ azimuth_deg, variogram }) => (
    <g key={azimuth_deg} className="curve series-1" opacity={0.35}>
      <path
        d={variogram
          .map(
            (row, k) =>
              `${k === 0 ? 'M' : 'L'}${x.of(length.per_si * row.distance_m).toFixed(1)} ${y.of(Math.min(square.per_si * row.semivariance, y.high)).toFixed(1)}`,
          )
          .join('')}
        className="line"
      >
        <title>{`Along ${azimuth_deg}°`}</title>
      </path>
    </g>
  ));
}

function tableOf({ variogram, directions }: SurfaceReply, { length, square }: SurfaceUnits) {
  return {
    head: [
      `Distance, ${length.unit}`,
      'Pairs',
      `Half mean square, ${square.unit}`,
      'Model',
      ...directions.map(({ azimuth_deg }) => `Along ${azimuth_deg}°`),
    ],
    rows: variogram.map((row, k) => [
      decimal(length.per_si * row.distance_m, length.digits),
      decimal(row.pairs, 0),
      decimal(square.per_si * row.semivariance, square.digits),
      decimal(row.modelled === null ? null : square.per_si * row.modelled, square.digits),
      ...directions.map((along) =>
        decimal(square.per_si * (along.variogram[k]?.semivariance ?? Number.NaN), square.digits),
      ),
    ]),
  };
}
