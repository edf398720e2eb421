/** Errors of the loads against flow, time, moisture or test weight, with the bands that they should lie in. */
import { KG_M3_PER_KG_HL, lbBuFromKgM3, lbFromKg } from '../../core/units.ts';
import { decimal, withSign } from '../text/quantities.ts';
import { BottomAxis, LeftAxis, type PlotBox } from './axes.tsx';
import { type AxisScale, axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import { LoadMark, stateOfLoad } from './load-points.tsx';
import {
  AGAINST_WORDS,
  type Residual,
  type ResidualAgainst,
  reachOf,
  residualsAgainst,
  slopeWords,
} from './residuals.ts';
import { roundedSpan } from './ticks.ts';
import type { ResidualChartProps } from './types.ts';

const HEIGHT = 176;

export function ResidualChart(props: ResidualChartProps) {
  const { calibration, against, spans, units, selectedTicket, onSelectTicket } = props;
  const residuals = residualsAgainst(calibration, against, spans);
  const words = AGAINST_WORDS[against];
  if (residuals.length === 0)
    return <p className="chart-empty">No load has a {words} to set its error against.</p>;
  const { diagnostics } = calibration;
  const prediction = diagnostics?.prediction_95_pct ?? null;
  const band = against === 'flow_kg_s' ? (diagnostics?.confidence_band ?? []) : [];
  const reach = reachOf(residuals, prediction);
  const [per, name] = axisOf(against, units);
  const ats = residuals.map(({ at }) => at * per);
  const room = 0.04 * (Math.max(...ats) - Math.min(...ats)) || 0.5;
  const [low, high] = roundedSpan(Math.min(...ats) - room, Math.max(...ats) + room, 5);
  return (
    <ChartFigure
      title={slopeWords(diagnostics?.residual_slopes ?? [], against)}
      alt={`Error of ${residuals.length} loads against ${words}`}
      height={HEIGHT}
      table={{
        head: ['Ticket', name, 'Error, %', 'State'],
        rows: residuals.map(({ load, at, error_pct }) => [
          load.ticket,
          decimal(at * per, 2),
          withSign(error_pct, 2),
          stateOfLoad(load),
        ]),
      }}
      note={
        <>
          {prediction !== null && `pale: a new load, 95 % (± ${decimal(prediction, 1)} %)`}
          {band.length > 1 && ' · darker: the fitted line itself, 95 %'}
        </>
      }
    >
      {(width) => {
        const box: PlotBox = { left: 40, right: width - 24, top: 20, bottom: 140 };
        const x = axisScale(low, high, box.left, box.right);
        const y = axisScale(-reach, reach, box.bottom, box.top);
        return (
          <>
            <LeftAxis scale={y} box={box} name="Beam − scale, %" count={4} />
            {prediction !== null && (
              <rect
                x={box.left}
                width={box.right - box.left}
                y={y.of(prediction)}
                height={y.of(-prediction) - y.of(prediction)}
                className="band"
              />
            )}
            {band.length > 1 && <path d={bandPath(band, x, y, per)} className="band" />}
            <path d={`M${box.left} ${y.of(0)}H${box.right}`} className="fitted" />
            {residuals.map((residual) => (
              <Placed
                key={residual.load.ticket}
                residual={residual}
                x={x.of(residual.at * per)}
                y={y}
                right={box.right}
                isSelected={residual.load.ticket === selectedTicket}
                onSelect={onSelectTicket}
              />
            ))}
            <BottomAxis scale={x} box={box} name={name} />
          </>
        );
      }}
    </ChartFigure>
  );
}

interface PlacedProps {
  readonly residual: Residual;
  readonly x: number;
  readonly y: AxisScale;
  readonly right: number;
  readonly isSelected: boolean;
  readonly onSelect: ((ticket: string) => void) | undefined;
}

/** A load at its error; beyond the axis at its edge, with the error in figures. */
function Placed({ residual: { load, error_pct }, x, y, right, isSelected, onSelect }: PlacedProps) {
  const isBeyond = Math.abs(error_pct) > y.high;
  const at = y.of(Math.min(y.high, Math.max(y.low, error_pct)));
  const isLeft = x > right - 100;
  return (
    <>
      {!isBeyond && <path d={`M${x} ${y.of(0)}V${at}`} className="stem" />}
      <LoadMark
        load={load}
        x={x}
        y={isBeyond ? at + (error_pct > 0 ? 8 : -8) : at}
        isSelected={isSelected}
        {...(onSelect === undefined ? {} : { onSelect })}
      />
      {(isBeyond || isSelected) && (
        <text
          x={isLeft ? x - 9 : x + 9}
          y={isBeyond ? at + (error_pct > 0 ? 12 : -4) : at + 4}
          textAnchor={isLeft ? 'end' : 'start'}
          className={load.flagged ? 'load-word' : 'applied-word'}
        >
          {load.ticket}
          {isBeyond && ` ${error_pct > 0 ? '↑' : '↓'} ${withSign(error_pct, 1)} %`}
        </text>
      )}
    </>
  );
}

function bandPath(
  band: readonly { readonly flow_kg_s: number; readonly half_pct: number }[],
  x: AxisScale,
  y: AxisScale,
  per: number,
): string {
  const clipped = (half_pct: number) => Math.min(half_pct, y.high);
  const upper = band.map(({ flow_kg_s, half_pct }) => `${x.of(flow_kg_s * per)} ${y.of(clipped(half_pct))}`);
  const lower = band.map(({ flow_kg_s, half_pct }) => `${x.of(flow_kg_s * per)} ${y.of(-clipped(half_pct))}`);
  return `M${[...upper, ...lower.reverse()].join('L')}z`;
}

/** What the quantity is multiplied by to be shown, and the name of its axis. */
function axisOf(against: ResidualAgainst, units: ResidualChartProps['units']): [per: number, name: string] {
  const isUs = units === 'us';
  switch (against) {
    case 'flow_kg_s':
      return isUs ? [lbFromKg(1), 'mean flow while running, lb/s'] : [1, 'mean flow while running, kg/s'];
    case 'time_d':
      return [1, 'days from the first load'];
    case 'moisture_pct':
      return [1, 'moisture on the ticket, %'];
    case 'test_weight_kg_hl':
      return isUs ? [lbBuFromKgM3(KG_M3_PER_KG_HL), 'test weight, lb/bu'] : [1, 'test weight, kg/hL'];
  }
}
