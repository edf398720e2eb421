/** Axes that all charts share: hairlines, round numbers, the unit said once. */
import { decimal } from '../text/quantities.ts';
import type { AxisScale } from './axis-scale.ts';
import { ticksBetween } from './ticks.ts';

export interface PlotBox {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

interface AxisProps {
  readonly scale: AxisScale;
  readonly box: PlotBox;
  /** Name and unit, at the axis' end. */
  readonly name?: string;
  readonly count?: number;
  readonly suffix?: string;
}

export function BottomAxis({ scale, box, name, count = 5, suffix = '' }: AxisProps) {
  const { at, digits } = ticksBetween(scale.low, scale.high, count);
  return (
    <g className="axis">
      <path d={`M${box.left} ${box.bottom + 0.5}H${box.right}`} className="line" />
      {at.map((tick) => (
        <g key={tick}>
          <path d={`M${scale.of(tick)} ${box.bottom}v4`} className="line" />
          <text x={scale.of(tick)} y={box.bottom + 15} textAnchor="middle">
            {decimal(tick, digits)}
            {suffix}
          </text>
        </g>
      ))}
      {name && (
        <text x={box.right} y={box.bottom + 29} textAnchor="end">
          {name}
        </text>
      )}
    </g>
  );
}

export function LeftAxis({ scale, box, name, count = 4, suffix = '' }: AxisProps) {
  const { at, digits } = ticksBetween(scale.low, scale.high, count);
  return (
    <g className="axis">
      {at.map((tick) => (
        <g key={tick}>
          <path d={`M${box.left} ${Math.round(scale.of(tick)) + 0.5}H${box.right}`} className="grid" />
          <text x={box.left - 6} y={scale.of(tick) + 4} textAnchor="end">
            {decimal(tick, digits)}
            {suffix}
          </text>
        </g>
      ))}
      {name && (
        <text x={box.left} y={box.top - 8} textAnchor="start">
          {name}
        </text>
      )}
    </g>
  );
}
