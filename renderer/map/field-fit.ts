/** How the map comes to show a whole field: when another one is opened, when it is asked for, when the window changes. */
import { useEffect, useRef } from 'react';
import type { FieldMapView, Padding } from './field-map-view.ts';
import { type Box, grow } from './ground.ts';
import { metresFromLonLat } from './local-frame.ts';
import type { PreparedField } from './prepared-field.ts';
import type { FieldMapProps, LonLatRing } from './types.ts';

const MARGIN_PX = 28;
/** Room that the legend takes before it is there. */
const LEGEND_PX = { width: 274, height: 330 };

/** Shows the whole field when another one comes, not when the same one is computed anew. */
export function useFit(
  view: FieldMapView | null,
  field: PreparedField | undefined,
  props: FieldMapProps,
): void {
  const fitted = useRef<string | null>(null);
  const { columns, outline } = props;
  useEffect(() => {
    // The new field's columns are prepared a moment after they have come; until then `field` is the one before.
    if (!view || !field || field.columns !== columns) return;
    const key = `${columns.field}|${outline.length > 0}`;
    if (fitted.current === key) return;
    fitted.current = key;
    view.setField(field.ground.frame);
    fitField(view, field, outline, 'at_once');
  }, [view, field, columns, outline]);
  useEffect(
    () => view?.onResizeOfFitted(() => fitField(view, field, outline, 'at_once')),
    [view, field, outline],
  );
}

/** Shows the whole field with its boundary, clear of the legend. */
export function fitField(
  view: FieldMapView | null,
  field: PreparedField | undefined,
  outline: readonly LonLatRing[],
  how: 'at_once' | 'gently',
) {
  if (!view || !field) return;
  const box = { ...field.ground.box };
  for (const ring of outline) {
    for (const [longitude, latitude] of ring)
      grow(box, ...metresFromLonLat(field.ground.frame, longitude, latitude));
  }
  const container = view.map.getContainer();
  const legend = container.parentElement?.querySelector<HTMLElement>('.map-legend');
  const taken = legend ? { width: legend.offsetWidth + 12, height: legend.offsetHeight + 12 } : LEGEND_PX;
  view.fit(box, roomFor(box, container.clientWidth, container.clientHeight, taken), how);
}

/** Room for the legend beside the field or below it, whichever leaves the field larger. */
function roomFor(
  box: Box,
  width: number,
  height: number,
  legend: { readonly width: number; readonly height: number },
): Padding {
  const even = { top: MARGIN_PX, right: MARGIN_PX, bottom: MARGIN_PX, left: MARGIN_PX };
  const rooms = [
    { ...even, left: legend.width + MARGIN_PX },
    { ...even, bottom: legend.height + MARGIN_PX, left: 52 },
  ];
  const scaleIn = (room: Padding) =>
    Math.min(
      (width - room.left - room.right) / Math.max(box.east1 - box.east0, 1),
      (height - room.top - room.bottom) / Math.max(box.north1 - box.north0, 1),
    );
  return scaleIn(rooms[0]) >= scaleIn(rooms[1]) ? rooms[0] : rooms[1];
}
