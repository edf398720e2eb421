/** How much yields differ by distance: what was found, and the model that cells are weighed by. */
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { semivarianceOf } from '../../../core/surface/variogram-model.ts';
import { BottomAxis, LeftAxis, type PlotBox } from '../../charts/axes.tsx';
import { type AxisScale, axisScale } from '../../charts/axis-scale.ts';
import { ChartFigure } from '../../charts/chart-figure.tsx';
import { decimal } from '../../text/quantities.ts';
import type { SurfaceUnits } from './surface-units.ts';

const HEIGHT = 210;
const CURVE_STEPS = 80;

interface VariogramChartProps {
  readonly details: SurfaceReply;
  readonly shown: SurfaceUnits;
}

export function VariogramChart({ details, shown }: VariogramChartProps) {
  const { length, square } = shown;
  const { variogram, model, effective_range_m, directions } = details;
  if (variogram.length < 2) return null;
  const longest_m = variogram[variogram.length - 1].distance_m;
  const semivariance = model === null ? undefined : semivarianceOf(model);
  const highest = Math.max(...variogram.map((row) => row.semivariance), semivariance?.(longest_m) ?? 0);
  const title =
    effective_range_m === null
      ? 'Yields differ alike at every distance.'
      : `Yields are alike up to about ${decimal(length.per_si * effective_range_m, 0)} ${length.unit}.`;
  return (
    <ChartFigure
      title={title}
      alt={`Variogram. ${title}`}
      height={HEIGHT}
      note={
        <>
          <span className="key series-0">—</span> model <span className="key series-1">—</span> by direction
        </>
      }
      table={{
        head: [
          `Distance, ${length.unit}`,
          'Pairs',
          `Half mean square, ${square.unit}`,
          'Model',
          ...directions.map(nameOf),
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
      }}
    >
      {(width) => {
        const box: PlotBox = { left: 46, right: width - 10, top: 24, bottom: HEIGHT - 34 };
        const x = axisScale(0, length.per_si * longest_m * 1.03, box.left, box.right);
        const y = axisScale(0, square.per_si * highest * 1.08, box.bottom, box.top);
        const curve = Array.from({ length: CURVE_STEPS }, (_, k) => {
          const distance_m = ((k + 0.01) / (CURVE_STEPS - 1)) * longest_m;
          return `${x.of(length.per_si * distance_m).toFixed(1)} ${y.of(square.per_si * (semivariance?.(distance_m) ?? 0)).toFixed(1)}`;
        });
        return (
          <>
            <LeftAxis scale={y} box={box} name={`half mean square of differences, ${square.unit}`} />
            <BottomAxis scale={x} box={box} name={`distance, ${length.unit}`} />
            <Directions details={details} shown={shown} x={x} y={y} />
            {semivariance && (
              <g className="curve series-0">
                <path d={`M${curve.join('L')}`} className="line" />
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
          </>
        );
      }}
    </ChartFigure>
  );
}

/** Faint lines of the variograms by direction. */
function Directions({
  details,
  shown: { length, square },
  x,
  y,
}: VariogramChartProps & {
  readonly x: AxisScale;
  readonly y: AxisScale;
}) {
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

function nameOf({ azimuth_deg }: SurfaceReply['directions'][number]): string {
  return `Along ${azimuth_deg}°`;
}
