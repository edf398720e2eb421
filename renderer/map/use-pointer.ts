/** Pointer and keys over the map: which row is meant, which pass is chosen. */
import { type RefObject, useEffect, useRef } from 'react';
import type { FieldMapView } from './field-map-view.ts';
import { rowAt } from './hit-test.ts';
import type { PreparedField } from './prepared-field.ts';

export interface PointedAt {
  readonly row: number;
  /** CSS pixels from the map's upper left corner. */
  readonly x: number;
  readonly y: number;
}

export interface PointerListeners {
  readonly onPoint: (at: PointedAt | null) => void;
  readonly onClick: (row: number, how: 'replace' | 'add' | 'remove') => void;
}

/** How near to a row's middle the pointer must be where no swath is under it, px. */
const REACH_PX = 8;

/** Looks a row up at most once a frame; not while the map is dragged. */
export function usePointer(
  place: RefObject<HTMLDivElement | null>,
  view: FieldMapView | null,
  field: PreparedField | undefined,
  listeners: PointerListeners,
): void {
  const latest = useRef(listeners);
  latest.current = listeners;
  useEffect(() => {
    const element = place.current;
    if (!view || !field || !element) return;
    let frame = 0;
    let last = -1;
    const rowUnder = (x: number, y: number): number => {
      const metres = view.metresAt(x, y);
      if (!metres) return -1;
      const reach_m = REACH_PX / view.camera().px_per_m;
      return rowAt(field.columns, field.ground, field.index, {
        east_m: metres[0],
        north_m: metres[1],
        reach_m,
      });
    };
    const leave = () => {
      cancelAnimationFrame(frame);
      if (last >= 0) latest.current.onPoint(null);
      last = -1;
    };
    const move = (event: PointerEvent) => {
      cancelAnimationFrame(frame);
      if (event.buttons !== 0 || !(event.target instanceof HTMLCanvasElement)) return leave();
      const { x, y } = placeIn(element, event);
      frame = requestAnimationFrame(() => {
        const row = rowUnder(x, y);
        if (row < 0) return leave();
        last = row;
        latest.current.onPoint({ row, x, y });
      });
    };
    const click = (event: MouseEvent) => {
      if (!(event.target instanceof HTMLCanvasElement)) return;
      const { x, y } = placeIn(element, event);
      const how = event.altKey ? 'remove' : event.shiftKey ? 'add' : 'replace';
      latest.current.onClick(rowUnder(x, y), how);
    };
    // MapLibre swallows a click that ends a drag by not telling it; its own event is the one to trust.
    const mapClick = ({ originalEvent }: { originalEvent: MouseEvent }) => click(originalEvent);
    element.addEventListener('pointermove', move);
    element.addEventListener('pointerleave', leave);
    view.map.on('click', mapClick);
    return () => {
      cancelAnimationFrame(frame);
      element.removeEventListener('pointermove', move);
      element.removeEventListener('pointerleave', leave);
      view.map.off('click', mapClick);
    };
  }, [place, view, field]);
}

function placeIn(element: HTMLElement, event: MouseEvent): { x: number; y: number } {
  const box = element.getBoundingClientRect();
  return { x: event.clientX - box.left, y: event.clientY - box.top };
}
