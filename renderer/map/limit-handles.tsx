/** Limits of classes that can be moved: by pointer along the histogram, or by keys. */
import { type KeyboardEvent, type PointerEvent, useState } from 'react';
import { decimal } from '../text/quantities.ts';
import { limitMoved } from './moved-limits.ts';
import type { Painted } from './use-paint.ts';

interface LimitHandlesProps {
  readonly painted: Painted;
  readonly size: { readonly width: number; readonly height: number; readonly bar: number };
  readonly onLimits: (limits_si: readonly number[]) => void;
}

/** So far to either side a pointer takes hold, px. */
const REACH_PX = 7;

export function LimitHandles({ painted: { scale, histogram, shown }, size, onLimits }: LimitHandlesProps) {
  /** What is being dragged: what is painted follows a little later, and the ends stay as they were. */
  const [held, setHeld] = useState<{ limits: readonly number[]; low: number; high: number } | null>(null);
  const limits = held?.limits ?? scale.limits;
  const { low, high } = held ?? histogram;
  const step = 10 ** -shown.digits;
  const xOf = (number: number) => ((number - low) / (high - low)) * size.width;
  const move = (place: number, to: number): readonly number[] => {
    const moved = limitMoved(limits, place, to, { low: Math.max(low, 0), high, step });
    onLimits(moved.map((limit) => limit / shown.per_si));
    return moved;
  };
  const drag = (event: PointerEvent<SVGGElement>, place: number) => {
    if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
    const left = event.currentTarget.ownerSVGElement?.getBoundingClientRect().left ?? 0;
    const to = low + ((event.clientX - left) / size.width) * (high - low);
    setHeld({ limits: move(place, to), low, high });
  };
  const press = (event: KeyboardEvent, place: number) => {
    const way = WAYS[event.key] ?? 0;
    if (way === 0) return;
    event.preventDefault();
    move(place, limits[place] + way * step * (event.shiftKey ? 10 : 1));
  };
  return limits.map((limit, place) => (
    <g
      // biome-ignore lint/suspicious/noArrayIndexKey: a limit is the same one wherever it is moved to
      key={place}
      className="limit"
      role="slider"
      tabIndex={0}
      aria-label={`Limit ${place + 1} of ${limits.length}, ${shown.unit}`}
      aria-valuenow={Number(limit.toFixed(shown.digits))}
      aria-valuetext={`${decimal(limit, shown.digits)} ${shown.unit}`}
      aria-valuemin={Number((limits[place - 1] ?? low).toFixed(shown.digits))}
      aria-valuemax={Number((limits[place + 1] ?? high).toFixed(shown.digits))}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) => drag(event, place)}
      onPointerUp={() => setHeld(null)}
      onPointerCancel={() => setHeld(null)}
      onKeyDown={(event) => press(event, place)}
    >
      <rect
        x={xOf(limit) - REACH_PX}
        width={2 * REACH_PX}
        y={0}
        height={size.height + size.bar}
        className="reach"
      />
      <path d={`M${xOf(limit)} 0V${size.height + size.bar}`} />
      <circle cx={xOf(limit)} cy={4} r={4} />
      <title>{`${decimal(limit, shown.digits)} ${shown.unit}: drag, or move it with the arrow keys`}</title>
    </g>
  ));
}

const WAYS: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };
