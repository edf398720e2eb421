/** How much yields differ by distance: what was found, and the model that cells are weighed by. */
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { semivarianceOf } from '../../../core/surface/variogram-model.ts';
import { BottomAxis, LeftAxis, type PlotBox } from '../../charts/axes.tsx';
import { type AxisScale, axisScale } from '../../charts/axis-scale.ts';
import { ChartFigure } from '../../charts/chart-figure.tsx';
import { decimal } from '../../text/quantities.ts';

const HEIGHT = 210;
const CURVE_STEPS = 80;
/** (kg/m²)² in (t/ha)². */
export const T2_HA2 = 100;

export function VariogramChart({ details }: { readonly details: SurfaceReply }) {
  const { variogram, model, effective_range_m, directions } = details;
  if (variogram.length < 2) return null;
  const longest_m = variogram[variogram.length - 1].distance_m;
  const semivariance = model === null ? undefined : semivarianceOf(model);
  const highest = Math.max(...variogram.map((row) => row.semivariance), semivariance?.(longest_m) ?? 0);
  const title =
    effective_range_m === null
      ? 'Yields differ alike at every distance.'
      : `Yields are alike up to about ${decimal(effective_range_m, 0)} m.`;
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
        head: ['Distance, m', 'Pairs', 'Half mean square, (t/ha)²', 'Model', ...directions.map(nameOf)],
        rows: variogram.map((row, k) => [
          decimal(row.distance_m, 1),
          decimal(row.pairs, 0),
          decimal(T2_HA2 * row.semivariance, 3),
          decimal(row.modelled === null ? null : T2_HA2 * row.modelled, 3),
          ...directions.map((along) => decimal(T2_HA2 * (along.variogram[k]?.semivariance ?? Number.NaN), 3)),
        ]),
      }}
    >
      {(width) => {
        const box: PlotBox = { left: 46, right: width - 10, top: 24, bottom: HEIGHT - 34 };
        const x = axisScale(0, longest_m * 1.03, box.left, box.right);
        const y = axisScale(0, T2_HA2 * highest * 1.08, box.bottom, box.top);
        const curve = Array.from({ length: CURVE_STEPS }, (_, k) => {
          const distance_m = ((k + 0.01) / (CURVE_STEPS - 1)) * longest_m;
          return `${x.of(distance_m).toFixed(1)} ${y.of(T2_HA2 * (semivariance?.(distance_m) ?? 0)).toFixed(1)}`;
        });
        return (
          <>
            <LeftAxis scale={y} box={box} name="half mean square of differences, (t/ha)²" />
            <BottomAxis scale={x} box={box} name="distance, m" />
            <Directions details={details} x={x} y={y} />
            {semivariance && (
              <g className="curve series-0">
                <path d={`M${curve.join('L')}`} className="line" />
              </g>
            )}
            <g className="load used">
              {variogram.map((row) => (
                <circle
                  key={row.distance_m}
                  cx={x.of(row.distance_m)}
                  cy={y.of(T2_HA2 * row.semivariance)}
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
  x,
  y,
}: {
  readonly details: SurfaceReply;
  readonly x: AxisScale;
  readonly y: AxisScale;
}) {
  return details.directions.map(({ azimuth_deg, variogram }) => (
    <g key={azimuth_deg} className="curve series-1" opacity={0.35}>
      <path
        d={variogram
          .map(
            (row, k) =>
              `${k === 0 ? 'M' : 'L'}${x.of(row.distance_m).toFixed(1)} ${y.of(Math.min(T2_HA2 * row.semivariance, y.high)).toFixed(1)}`,
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
