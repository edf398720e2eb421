/** Loads as bands over the time in which their grain passed the beam; each end can be dragged or moved with the keys. */
import { type KeyboardEvent, type PointerEvent, useState } from 'react';
import type { TimeSpan } from '../map/types.ts';
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
}

export const LANE_PX = 18;

/** A lane for each band, so that none lies on another: first come, first lane that is free. */
export function bandLanes(loads: readonly LoadBand[]): number[] {
  const ends: number[] = [];
  const lanes = new Array<number>(loads.length).fill(0);
  const order = [...loads.keys()].sort((a, b) => loads[a].start_s - loads[b].start_s);
  const machines = [...new Set(loads.map(({ machine }) => machine))];
  for (const at of order) {
    const { start_s, end_s, machine } = loads[at];
    // Each machine keeps to its own lanes, where machines are told apart.
    const first = machines.indexOf(machine);
    let lane = first;
    while ((ends[lane] ?? -Infinity) > start_s) lane += machines.length;
    lanes[at] = lane;
    ends[lane] = end_s;
  }
  return lanes;
}

type Grip = 'start' | 'end' | 'whole';

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

export function LoadLane({ loads, width, xOf, timeAt, clockOf, lanes, onChange }: LoadLaneProps) {
  const [drag, setDrag] = useState<Drag | null>(null);
  const move = (x: number) => {
    if (!drag) return;
    const band = loads.find(({ load }) => load === drag.load);
    if (!band) return;
    setDrag({ ...drag, span: dragged(band, drag.grip, timeAt, drag.from_x, x, xOf) });
  };
  const drop = () => {
    const band = loads.find(({ load }) => load === drag?.load);
    if (drag && band && (drag.span.start_s !== band.start_s || drag.span.end_s !== band.end_s))
      onChange?.(drag.load, drag.span);
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
          if (!onChange || event.button !== 0) return;
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

/** Where a band goes when a grip is pulled from one place to another: an end never passes the other. */
export function dragged(
  band: TimeSpan,
  grip: Grip,
  timeAt: (x: number) => number,
  from_x: number,
  x: number,
  xOf: (t_s: number) => number,
): TimeSpan {
  const moved = (t_s: number) => timeAt(xOf(t_s) + x - from_x);
  if (grip === 'start') return { start_s: Math.min(moved(band.start_s), band.end_s), end_s: band.end_s };
  if (grip === 'end') return { start_s: band.start_s, end_s: Math.max(moved(band.end_s), band.start_s) };
  const start_s = moved(band.start_s);
  return { start_s, end_s: start_s + band.end_s - band.start_s };
}

function nudged(event: KeyboardEvent, band: LoadBand, grip: 'start' | 'end'): TimeSpan | undefined {
  const way = event.key === 'ArrowLeft' ? -1 : event.key === 'ArrowRight' ? 1 : 0;
  if (way === 0) return undefined;
  const step_s = way * (event.shiftKey ? KEY_STEP_S.shift : KEY_STEP_S.plain);
  return grip === 'start'
    ? { start_s: Math.min(band.start_s + step_s, band.end_s), end_s: band.end_s }
    : { start_s: band.start_s, end_s: Math.max(band.end_s + step_s, band.start_s) };
}
