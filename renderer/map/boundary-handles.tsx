/** Corners of closed rings to take hold of, and marks between them that become corners. */
import { type KeyboardEvent, type PointerEvent, useRef } from 'react';
import type { DrawnPlace, DrawnRing } from '../../core/track/drawn-boundary.ts';
import type { CornerAt, DraftStep } from './boundary-draft.ts';
import type { FieldMapView } from './field-map-view.ts';

interface HandlesProps {
  readonly view: FieldMapView;
  readonly rings: readonly DrawnRing[];
  readonly onStep: (step: DraftStep) => void;
  /** The ring that has corners to take hold of; absent: all. */
  readonly only?: number;
  /** What a ring is called; `ring` when absent. */
  readonly called?: string;
}

/** More corners than this on the screen would lie on one another: then nearer has to be gone first. */
const MOST_HANDLES = 250;
/** Marks between corners only where there is room for them, px. */
const LEAST_EDGE_PX = 36;
/** Of an arrow key, and with Shift. */
export const KEY_STEP_PX = { plain: 10, fine: 1 };
export const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

const BEYOND_PX = 200;

interface Handle {
  readonly at: CornerAt;
  readonly x: number;
  readonly y: number;
  /** To the next corner, when there is room for a mark in between. */
  readonly middle: { readonly x: number; readonly y: number } | null;
}

export function BoundaryHandles({ view, rings, onStep, only, called = 'ring' }: HandlesProps) {
  const dragged = useRef<CornerAt | null>(null);
  const handles = handlesOf(view, rings).filter(({ at }) => only === undefined || at.ring === only);
  if (handles.length > MOST_HANDLES)
    return (
      <text x="50%" y={72} textAnchor="middle" className="hint">
        Zoom in to take hold of corners
      </text>
    );
  const placeOf = (event: PointerEvent<SVGElement>): DrawnPlace => {
    const box = event.currentTarget.ownerSVGElement?.getBoundingClientRect();
    return placeAt(view, event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0));
  };
  const begin = (event: PointerEvent<SVGElement>, at: CornerAt, isNew: boolean) => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    if (isNew) onStep({ kind: 'insert_corner', at, place: placeOf(event) });
    else onStep({ kind: 'move_corner', at, place: rings[at.ring][at.corner], isGoing: false });
    dragged.current = isNew ? { ring: at.ring, corner: at.corner + 1 } : at;
  };
  const go = (event: PointerEvent<SVGElement>) => {
    if (dragged.current)
      onStep({ kind: 'move_corner', at: dragged.current, place: placeOf(event), isGoing: true });
  };
  const end = () => {
    dragged.current = null;
  };
  const press = (event: KeyboardEvent, { at, x, y, middle }: Handle) => {
    const way = ARROWS[event.key];
    const size = event.shiftKey ? KEY_STEP_PX.fine : KEY_STEP_PX.plain;
    if (way)
      onStep({
        kind: 'move_corner',
        at,
        place: placeAt(view, x + way[0] * size, y + way[1] * size),
        isGoing: false,
      });
    else if (event.key === 'Delete' || event.key === 'Backspace') onStep({ kind: 'remove_corner', at });
    else if (event.key === 'Insert' && middle)
      onStep({ kind: 'insert_corner', at, place: placeAt(view, middle.x, middle.y) });
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <>
      {handles.map(
        ({ at, middle }) =>
          middle && (
            <circle
              // The place in the ring is what a mark is.
              key={`m${at.ring}-${at.corner}`}
              cx={middle.x}
              cy={middle.y}
              r={4}
              className="between"
              onPointerDown={(event) => begin(event, at, true)}
              onPointerMove={go}
              onPointerUp={end}
              onPointerCancel={end}
            />
          ),
      )}
      {handles.map((handle) => (
        // biome-ignore lint/a11y/useSemanticElements: a corner in a drawing, no form's button
        <circle
          key={`c${handle.at.ring}-${handle.at.corner}`}
          cx={handle.x}
          cy={handle.y}
          r={6}
          className="corner"
          role="button"
          tabIndex={0}
          aria-label={`Corner ${handle.at.corner + 1} of ${called} ${handle.at.ring + 1}`}
          onPointerDown={(event) => begin(event, handle.at, false)}
          onPointerMove={go}
          onPointerUp={end}
          onPointerCancel={end}
          onDoubleClick={() => onStep({ kind: 'remove_corner', at: handle.at })}
          onKeyDown={(event) => press(event, handle)}
        />
      ))}
    </>
  );
}

/** Corners on the screen, and a little beyond so that one can be moved off it by keys. */
function handlesOf(view: FieldMapView, rings: readonly DrawnRing[]): Handle[] {
  const { clientWidth, clientHeight } = view.map.getContainer();
  return rings.flatMap((ring, r) => {
    const pixels = ring.map(([longitude_deg, latitude_deg]) =>
      view.map.project([longitude_deg, latitude_deg]),
    );
    return pixels.flatMap(({ x, y }, corner) => {
      const next = pixels[(corner + 1) % pixels.length];
      const isFar =
        x < -BEYOND_PX || y < -BEYOND_PX || x > clientWidth + BEYOND_PX || y > clientHeight + BEYOND_PX;
      if (isFar) return [];
      const hasRoom = Math.hypot(next.x - x, next.y - y) >= LEAST_EDGE_PX;
      const middle = hasRoom ? { x: (x + next.x) / 2, y: (y + next.y) / 2 } : null;
      return [{ at: { ring: r, corner }, x, y, middle }];
    });
  });
}

/** The place under a pixel of the map. */
export function placeAt(view: FieldMapView, x: number, y: number): DrawnPlace {
  const { lng, lat } = view.map.unproject([x, y]);
  return roundPlace([lng, lat]);
}

/** To a millimetre: more digits would only pretend. */
function roundPlace([longitude_deg, latitude_deg]: DrawnPlace): DrawnPlace {
  return [Math.round(longitude_deg * 1e8) / 1e8, Math.round(latitude_deg * 1e8) / 1e8];
}

export function pathOfRings(
  rings: readonly DrawnRing[],
  pixelsOf: (place: DrawnPlace) => { readonly x: number; readonly y: number },
): string {
  return rings
    .map(
      (ring) =>
        `M${ring
          .map(pixelsOf)
          .map(({ x, y }) => `${x} ${y}`)
          .join('L')}z`,
    )
    .join('');
}
