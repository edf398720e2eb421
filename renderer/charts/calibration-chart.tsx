/** Calibration: the scale against the calibrated beam, the fitted line, and where a new load is expected. */
import type { LoadSummary } from '../../core/result.ts';
import { lbFromKg } from '../../core/units.ts';
import { decimal, scaleMass } from '../text/quantities.ts';
import { BottomAxis, LeftAxis, type PlotBox } from './axes.tsx';
import { axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import { LoadMark, namesOf } from './load-points.tsx';
import { likelyMistake } from './residuals.ts';
import { roundedSpan } from './ticks.ts';
import type { CalibrationChartProps } from './types.ts';

const HEIGHT = 244;

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
  const rmse = calibration.fit_rmse_pct;
  const band = calibration.diagnostics?.prediction_95_pct ?? null;
  return (
    <ChartFigure
      title={findingOf(loads, rmse)}
      alt={`Scale against beam for ${loads.length} loads of ${calibration.machine}, ${calibration.crop}. ${findingOf(loads, rmse)}`}
      height={HEIGHT}
      note={
        <>
          <span className="key used">●</span> used <span className="key unused">○</span> not used{' '}
          <span className="key flagged">▲</span> flagged · line: the fit
          {band !== null && ` · band: a new load, 95 % (±\u00a0${decimal(band, 1)}\u00a0%)`}
        </>
      }
    >
      {(width) => {
        const box: PlotBox = { left: 58, right: width - 24, top: 20, bottom: 206 };
        const x = axisScale(low, high, box.left, box.right);
        const y = axisScale(low, high, box.bottom, box.top);
        const held = (mass: number) => y.of(Math.min(high, Math.max(low, mass)));
        const share = (band ?? 0) / 100;
        return (
          <>
            <LeftAxis scale={y} box={box} name={`Scale, ${unit}`} />
            {band !== null && (
              <path
                d={`M${x.of(low)} ${held(low * (1 + share))}L${x.of(high / (1 + share))} ${y.of(high)}L${x.of(high)} ${y.of(high)}L${x.of(high)} ${held(high * (1 - share))}L${x.of(low / (1 - share))} ${y.of(low)}L${x.of(low)} ${y.of(low)}z`}
                className="band"
              />
            )}
            <path d={`M${x.of(low)} ${y.of(low)}L${x.of(high)} ${y.of(high)}`} className="fitted" />
            {loads.map((load) => (
              <LoadMark
                key={load.ticket}
                load={load}
                x={x.of(shown(load.predicted_kg))}
                y={y.of(shown(load.scale_kg))}
                isSelected={load.ticket === selectedTicket}
                onSelect={onSelectTicket}
              />
            ))}
            {loads
              .filter((load) => load.flagged || load.ticket === selectedTicket)
              .map((load) => (
                <Name
                  key={load.ticket}
                  load={load}
                  x={x.of(shown(load.predicted_kg))}
                  y={y.of(shown(load.scale_kg))}
                  middle={(box.left + box.right) / 2}
                />
              ))}
            <BottomAxis scale={x} box={box} name={`Beam, calibrated, ${unit}`} />
          </>
        );
      }}
    </ChartFigure>
  );
}

/** The ticket, and under it what is likely the matter, on the side where there is more room. */
function Name({ load, x, y, middle }: { load: Predicted; x: number; y: number; middle: number }) {
  const isLeft = x > middle;
  const at = { x: isLeft ? x - 9 : x + 9, textAnchor: isLeft ? ('end' as const) : ('start' as const) };
  const mistake = load.flagged ? likelyMistake(load.why) : '';
  return (
    <text {...at} y={y + 4} className="load-word">
      {load.ticket}
      {mistake !== '' && mistake.length < 34 && (
        <tspan x={at.x} dy={13} className="mistake">
          {mistake}
        </tspan>
      )}
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
