/** Loads as bands over the time in which their grain passed the beam; each end can be dragged or moved with the keys. */
import { type KeyboardEvent, type PointerEvent, useState } from 'react';
import type { TimeSpan } from '../map/types.ts';
import { dragged, type Grip } from './load-bands.ts';
import type { LoadBand } from './types.ts';

interface LoadLaneProps {
  readonly loads: readonly LoadBand[];
  readonly width: number;
  readonly xOf: (t_s: number) => number;
  readonly timeAt: (x: number) => number;
  /** Words for a moment, for screen readers. */
  readonly clockOf: (t_s: number) => string;
  /** Lane of each band, from `bandLanes`. */
  readonly lanes: readonly number[];
  readonly onChange?: (load: number, span: TimeSpan) => void;
  readonly onSelect?: (load: number) => void;
}

export const LANE_PX = 18;

interface Drag {
  readonly load: number;
  readonly grip: Grip;
  readonly from_x: number;
  readonly span: TimeSpan;
}

const STATE_MARKS = { good: '●', look: '▲', mend: '■' } as const;
const KEY_STEP_S = { plain: 1, shift: 10 };
/** A band narrower than this has no room for its ticket. */
const LABEL_PX = 44;

export function LoadLane({ loads, width, xOf, timeAt, clockOf, lanes, onChange, onSelect }: LoadLaneProps) {
  const [drag, setDrag] = useState<Drag | null>(null);
  const move = (x: number) => {
    if (!drag || !onChange) return;
    const band = loads.find(({ load }) => load === drag.load);
    if (!band) return;
    setDrag({ ...drag, span: dragged(band, drag.grip, timeAt, drag.from_x, x, xOf) });
  };
  const drop = () => {
    const band = loads.find(({ load }) => load === drag?.load);
    if (drag && band && (drag.span.start_s !== band.start_s || drag.span.end_s !== band.end_s))
      onChange?.(drag.load, drag.span);
    else if (drag?.grip === 'whole') onSelect?.(drag.load);
    setDrag(null);
  };
  return (
    <ul className="load-lane" aria-label="Loads">
      {loads.map((band, at) => {
        const span = drag?.load === band.load ? drag.span : band;
        const left = xOf(span.start_s);
        const right = xOf(span.end_s);
        if (right < 0 || left > width) return null;
        const begin = (grip: Grip) => (event: PointerEvent<HTMLElement>) => {
          if (!(onChange || onSelect) || event.button !== 0) return;
          event.stopPropagation();
          event.currentTarget.setPointerCapture(event.pointerId);
          setDrag({ load: band.load, grip, from_x: event.clientX, span: band });
        };
        const pull = {
          onPointerMove: (event: PointerEvent) => move(event.clientX),
          onPointerUp: drop,
          onPointerCancel: () => setDrag(null),
        };
        const words = `Load ${band.ticket}${band.machine ? `, ${band.machine}` : ''}, from ${clockOf(span.start_s)} to ${clockOf(span.end_s)}`;
        return (
          <li
            key={band.load}
            className="load-band"
            data-state={band.state}
            data-movable={onChange !== undefined}
            title={words}
            style={{ left, top: lanes[at] * LANE_PX, width: Math.max(right - left, 2) }}
            onPointerDown={begin('whole')}
            {...pull}
          >
            <span className="load-name">
              {band.state && <span aria-hidden="true">{STATE_MARKS[band.state]} </span>}
              {right - left > LABEL_PX ? band.ticket : ''}
            </span>
            {onChange &&
              (['start', 'end'] as const).map((grip) => (
                <span
                  key={grip}
                  className={`load-grip ${grip}`}
                  role="slider"
                  tabIndex={0}
                  aria-label={`${grip === 'start' ? 'Start' : 'End'} of load ${band.ticket}`}
                  aria-valuenow={Math.round(grip === 'start' ? span.start_s : span.end_s)}
                  aria-valuetext={clockOf(grip === 'start' ? span.start_s : span.end_s)}
                  onPointerDown={begin(grip)}
                  onKeyDown={(event) => {
                    const moved = nudged(event, band, grip);
                    if (!moved) return;
                    event.preventDefault();
                    event.stopPropagation();
                    onChange(band.load, moved);
                  }}
                  {...pull}
                />
              ))}
          </li>
        );
      })}
    </ul>
  );
}

function nudged(event: KeyboardEvent, band: LoadBand, grip: 'start' | 'end'): TimeSpan | undefined {
  const way = event.key === 'ArrowLeft' ? -1 : event.key === 'ArrowRight' ? 1 : 0;
  if (way === 0) return undefined;
  const step_s = way * (event.shiftKey ? KEY_STEP_S.shift : KEY_STEP_S.plain);
  return grip === 'start'
    ? { start_s: Math.min(band.start_s + step_s, band.end_s), end_s: band.end_s }
    : { start_s: band.start_s, end_s: Math.max(band.end_s + step_s, band.start_s) };
}
