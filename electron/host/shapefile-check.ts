/**
 * Whether a .shp is what it claims, before it is given to a reader that believes every number in it: lengths that reach past the
 * end, counts of gigabytes and rings that overlap would cost minutes and all of the memory.
 */

const HEADER_BYTES = 100;
/** Of a record's own header: its number and the length of what follows, in 16-bit words, big-endian. */
const RECORD_BYTES = 8;
/** Type, box, and the numbers of parts and points, before the parts [ESRI Shapefile Technical Description, July 1998, Polygon]. */
const POLYGON_BYTES = 44;
const POLYGONS: ReadonlySet<number> = new Set([5, 15, 25]);
/** Holes are looked for in every ring: parts times points of a record are so many steps. A choice of ours. */
const MOST_STEPS = 2e7;

/** Whether every record lies within the file, is of one kind, and, where it holds polygons, has its rings one after the other. */
export function isSoundShapefile(shp: Uint8Array): boolean {
  const view = new DataView(shp.buffer, shp.byteOffset, shp.byteLength);
  const type = view.getInt32(32, true);
  for (let at = HEADER_BYTES; at < shp.length; ) {
    if (at + RECORD_BYTES + 4 > shp.length) return false;
    const bytes = 2 * view.getInt32(at + 4, false);
    const start = at + RECORD_BYTES;
    at = start + bytes;
    if (bytes < 4 || at > shp.length) return false;
    const own = view.getInt32(start, true);
    if (own !== 0 && own !== type) return false;
    if (own !== 0 && POLYGONS.has(type) && !isSoundPolygon(view, start, bytes)) return false;
  }
  return true;
}

function isSoundPolygon(view: DataView, start: number, bytes: number): boolean {
  if (bytes < POLYGON_BYTES) return false;
  const parts = view.getInt32(start + 36, true);
  const points = view.getInt32(start + 40, true);
  if (parts < 0 || points < 0 || POLYGON_BYTES + 4 * parts + 16 * points > bytes) return false;
  if (parts * points > MOST_STEPS) return false;
  let before = -1;
  for (let part = 0; part < parts; part++) {
    const first = view.getInt32(start + POLYGON_BYTES + 4 * part, true);
    if (first <= before || first >= points) return false;
    before = first;
  }
  return true;
}
