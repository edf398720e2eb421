/** Calibration: what the beam says against what the scale says, and by how much they differ. */
import type { LoadSummary } from '../../core/result.ts';
import { lbFromKg } from '../../core/units.ts';
import { decimal, scaleMass, withSign } from '../text/quantities.ts';
import { BottomAxis, LeftAxis, type PlotBox } from './axes.tsx';
import { axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import { LoadMark, namesOf } from './load-points.tsx';
import { roundedSpan } from './ticks.ts';
import type { CalibrationChartProps } from './types.ts';

const HEIGHT = 316;
const LOWER = { top: 226, bottom: 282 };
const LEAST_ERROR_PCT = 2;

interface Predicted extends LoadSummary {
  readonly predicted_kg: number;
  readonly error_pct: number;
}

export function CalibrationChart({
  calibration,
  units,
  selectedTicket,
  onSelectTicket,
}: CalibrationChartProps) {
  const loads = calibration.loads.filter(isPredicted);
  if (loads.length === 0)
    return <p className="chart-empty">No load could be predicted yet, so there is nothing to compare.</p>;
  const { unit } = scaleMass(0, units);
  const shown = (mass_kg: number) => mass_kg * perKg(units);
  const masses = loads.flatMap((load) => [shown(load.scale_kg), shown(load.predicted_kg)]);
  const [low, high] = roundedSpan(Math.min(...masses) * 0.97, Math.max(...masses) * 1.02, 4);
  const reach = Math.max(LEAST_ERROR_PCT, ...loads.map((load) => Math.abs(load.error_pct))) * 1.15;
  const rmse = calibration.fit_rmse_pct;
  return (
    <ChartFigure
      title={findingOf(loads, rmse)}
      alt={`Beam against scale for ${loads.length} loads of ${calibration.machine}, ${calibration.crop}. ${findingOf(loads, rmse)}`}
      height={HEIGHT}
      table={{
        head: ['Ticket', `Scale, ${unit}`, `Beam, ${unit}`, 'Error, %', 'Left out, %', 'State'],
        rows: calibration.loads.map((load) => [
          load.ticket,
          scaleMass(load.scale_kg, units).number,
          scaleMass(load.predicted_kg, units).number,
          withSign(load.error_pct, 1),
          withSign(load.loo_error_pct, 1),
          load.flagged ? `flagged: ${load.why}` : load.used ? 'used' : 'not used',
        ]),
      }}
      note={
        <>
          <span className="key used">●</span> used <span className="key unused">○</span> not used{' '}
          <span className="key flagged">▲</span> flagged
        </>
      }
    >
      {(width) => {
        const box: PlotBox = { left: 58, right: width - 24, top: 20, bottom: 196 };
        const lower: PlotBox = { ...box, ...LOWER };
        const x = axisScale(low, high, box.left, box.right);
        const y = axisScale(low, high, box.bottom, box.top);
        const error = axisScale(-reach, reach, lower.bottom, lower.top);
        const marks = (of: (load: Predicted) => number) =>
          loads.map((load) => (
            <LoadMark
              key={load.ticket}
              load={load}
              x={x.of(shown(load.scale_kg))}
              y={of(load)}
              isSelected={load.ticket === selectedTicket}
              onSelect={onSelectTicket}
            />
          ));
        return (
          <>
            <LeftAxis scale={y} box={box} name={`Beam, ${unit}`} />
            <path d={`M${x.of(low)} ${y.of(low)}L${x.of(high)} ${y.of(high)}`} className="agree" />
            {marks((load) => y.of(shown(load.predicted_kg)))}
            <LeftAxis scale={error} box={lower} name="Beam − scale, %" count={3} />
            {rmse !== null && (
              <rect
                x={lower.left}
                width={lower.right - lower.left}
                y={error.of(Math.min(rmse, reach))}
                height={error.of(-Math.min(rmse, reach)) - error.of(Math.min(rmse, reach))}
                className="band"
              />
            )}
            {loads.map((load) => (
              <path
                key={load.ticket}
                d={`M${x.of(shown(load.scale_kg))} ${error.of(0)}V${error.of(load.error_pct)}`}
                className="stem"
              />
            ))}
            <path d={`M${lower.left} ${error.of(0)}H${lower.right}`} className="zero" />
            {marks((load) => error.of(load.error_pct))}
            {loads
              .filter((load) => load.flagged || load.ticket === selectedTicket)
              .map((load) => (
                <Name
                  key={load.ticket}
                  load={load}
                  x={x.of(shown(load.scale_kg))}
                  y={error.of(load.error_pct)}
                  right={box.right}
                />
              ))}
            <BottomAxis scale={x} box={lower} name={`Scale, ${unit}`} />
          </>
        );
      }}
    </ChartFigure>
  );
}

function Name({ load, x, y, right }: { load: Predicted; x: number; y: number; right: number }) {
  const isLeft = x > right - 60;
  return (
    <text x={isLeft ? x - 9 : x + 9} y={y + 4} textAnchor={isLeft ? 'end' : 'start'} className="load-word">
      {load.ticket}
    </text>
  );
}

function findingOf(loads: readonly Predicted[], rmse: number | null): string {
  const flagged = loads.filter((load) => load.flagged).map((load) => load.ticket);
  const within = rmse === null ? '' : ` within ${decimal(rmse, 1)} % (rms)`;
  if (flagged.length === 0) return `Beam and scale agree${within} over ${loads.length} loads`;
  const rest = loads.length - flagged.length;
  const verb = flagged.length === 1 ? 'does' : 'do';
  return `${rest} of ${loads.length} loads agree${within}; ${namesOf(flagged)} ${verb} not`;
}

function isPredicted(load: LoadSummary): load is Predicted {
  return load.predicted_kg !== null && load.error_pct !== null;
}

function perKg(units: CalibrationChartProps['units']): number {
  return units === 'us' ? lbFromKg(1) : 1;
}
