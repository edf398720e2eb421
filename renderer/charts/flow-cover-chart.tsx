/** Grain by flow, the flows for which the loads speak, and the flow that the next load should have. */
import { lbFromKg } from '../../core/units.ts';
import { decimal, massFlow } from '../text/quantities.ts';
import { BottomAxis, type PlotBox } from './axes.tsx';
import { axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import type { FlowCoverChartProps } from './types.ts';

const HEIGHT = 118;

export function FlowCoverChart({ bins, diagnostics, units }: FlowCoverChartProps) {
  const { covered_flow_kg_s: covered, next_flow_kg_s: next, outside_grain_pct } = diagnostics;
  const per = units === 'us' ? lbFromKg(1) : 1;
  const flow = (flow_kg_s: number) => massFlow(flow_kg_s, units).number;
  const { unit } = massFlow(0, units);
  const most_kg = Math.max(...bins.mass_kg);
  const high = (bins.low_kg_s + bins.step_kg_s * bins.mass_kg.length) * per;
  const title =
    covered === null
      ? 'The loads’ grain is on no map: which flows they cover is not known'
      : `Loads cover ${flow(covered[0])} to ${flow(covered[1])} ${unit}; ${decimal(outside_grain_pct, 0)} % of the grain passed outside`;
  return (
    <ChartFigure
      title={title}
      alt={`Kept grain by flow. ${title}`}
      height={HEIGHT}
      note={
        <>
          shaded: covered by the loads · pale: outside
          {next !== null && ' · line: flow that the next load should have'}
        </>
      }
    >
      {(width) => {
        const box: PlotBox = { left: 8, right: width - 16, top: 18, bottom: 84 };
        const x = axisScale(bins.low_kg_s * per, high, box.left, box.right);
        const y = axisScale(0, most_kg, box.bottom, box.top);
        return (
          <>
            {covered !== null && (
              <rect
                x={x.of(covered[0] * per)}
                width={x.of(covered[1] * per) - x.of(covered[0] * per)}
                y={box.top}
                height={box.bottom - box.top}
                className="band"
              />
            )}
            {Array.from(bins.mass_kg, (mass_kg, i) => {
              const from = bins.low_kg_s + i * bins.step_kg_s;
              const middle = from + bins.step_kg_s / 2;
              const isCovered = covered === null || (middle >= covered[0] && middle <= covered[1]);
              return (
                <rect
                  key={from}
                  x={x.of(from * per) + 0.5}
                  width={Math.max(0.5, x.of((from + bins.step_kg_s) * per) - x.of(from * per) - 1)}
                  y={y.of(mass_kg)}
                  height={box.bottom - y.of(mass_kg)}
                  className={isCovered ? 'bins kept' : 'bins out'}
                />
              );
            })}
            {next !== null && (
              <>
                <path d={`M${x.of(next * per)} ${box.top - 4}V${box.bottom}`} className="applied" />
                <text x={x.of(next * per) + 5} y={box.top - 4} className="applied-word">
                  next load: {flow(next)} {unit}
                </text>
              </>
            )}
            <BottomAxis scale={x} box={box} name={`flow while cutting, ${unit}`} />
          </>
        );
      }}
    </ChartFigure>
  );
}
