/** How well each load is told by the others: errors with the load left out of the fit. */
import type { LoadSummary } from '../../core/result.ts';
import { decimal, withSign } from '../text/quantities.ts';
import { BottomAxis, type PlotBox } from './axes.tsx';
import { axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import { namesOf, stateOfLoad } from './load-points.tsx';
import type { LeaveOneOutProps } from './types.ts';

const ROW_PX = 18;
const LEAST_ERROR_PCT = 2;

interface LeftOut extends LoadSummary {
  readonly loo_error_pct: number;
}

export function LeaveOneOut({ calibration, selectedTicket, onSelectTicket }: LeaveOneOutProps) {
  const loads = calibration.loads.filter((load): load is LeftOut => load.loo_error_pct !== null);
  if (loads.length === 0)
    return (
      <p className="chart-empty">
        Leaving a load out takes at least two loads with a ticket; there are fewer.
      </p>
    );
  const reach = Math.max(LEAST_ERROR_PCT, ...loads.map((load) => Math.abs(load.loo_error_pct))) * 1.1;
  const height = loads.length * ROW_PX + 42;
  const title = findingOf(loads, calibration.loo_rmse_pct);
  return (
    <ChartFigure
      title={title}
      alt={`Error of each load when the others predict it. ${title}`}
      height={height}
      table={{
        head: ['Ticket', 'Left out, %', 'Studentised', 'State'],
        rows: loads.map((load) => [
          load.ticket,
          withSign(load.loo_error_pct, 1),
          decimal(load.studentised_residual, 1),
          stateOfLoad(load),
        ]),
      }}
    >
      {(width) => {
        const box: PlotBox = { left: 66, right: width - 48, top: 4, bottom: loads.length * ROW_PX + 6 };
        const x = axisScale(-reach, reach, box.left, box.right);
        return (
          <>
            {loads.map((load, i) => {
              const y = box.top + i * ROW_PX;
              const zero = x.of(0);
              const end = x.of(load.loo_error_pct);
              return (
                // biome-ignore lint/a11y/noStaticElementInteractions: the table of loads beside it is the way for keys
                <g
                  key={load.ticket}
                  className={`bar ${stateOfLoad(load)}${load.ticket === selectedTicket ? ' chosen' : ''}`}
                  onClick={() => onSelectTicket?.(load.ticket)}
                >
                  <rect x={0} y={y} width={width} height={ROW_PX} className="reach" />
                  <text x={box.left - 8} y={y + 13} textAnchor="end" className="name">
                    {load.flagged ? '▲ ' : ''}
                    {load.ticket}
                  </text>
                  <rect
                    x={Math.min(zero, end)}
                    width={Math.max(Math.abs(end - zero), 1)}
                    y={y + 4}
                    height={10}
                    className="fill"
                  />
                  <text x={width - 2} y={y + 13} textAnchor="end">
                    {withSign(load.loo_error_pct, 1)} %
                  </text>
                </g>
              );
            })}
            <path d={`M${x.of(0)} ${box.top}V${box.bottom}`} className="zero" />
            <BottomAxis scale={x} box={box} name="error when left out, %" />
          </>
        );
      }}
    </ChartFigure>
  );
}

function findingOf(loads: readonly LeftOut[], rmse: number | null): string {
  const flagged = loads.filter((load) => load.flagged).map((load) => load.ticket);
  const told =
    rmse === null
      ? `Each of ${loads.length} loads told by the others`
      : `A load is told by the others to ${decimal(rmse, 1)} % (rms)`;
  return flagged.length > 0 ? `${told}; not ${namesOf(flagged)}` : told;
}
