/** Settings of surfaces that are tried before they are kept: the whole sheet as it would be, and the change that makes it so. */
import {
  isJsonObject,
  type JsonObject,
  mergePatch,
  withoutEmptyParts,
} from '../../core/edits/merge-patch.ts';
import type { Patch } from '../../core/edits/season-edit.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';

/** The sheet after `change`; parts that hold nothing any more are gone, as they are in the season's own sheet. */
export function changedSheet(sheet: SurfaceSheet, change: Patch<SurfaceSheet>): SurfaceSheet {
  return withoutEmptyParts(mergePatch(sheet as JsonObject, change as JsonObject)) as SurfaceSheet;
}

/** What has to change to get from one sheet to another; null when nothing has. */
export function changeBetween(from: SurfaceSheet, to: SurfaceSheet): Patch<SurfaceSheet> | null {
  const change = difference(from as JsonObject, to as JsonObject);
  return Object.keys(change).length === 0 ? null : (change as Patch<SurfaceSheet>);
}

/** Sheets are the same surface when only classes and zones differ: these are made of the cells. */
export function cellSettings({ classes: _classes, zones: _zones, ...cells }: SurfaceSheet): SurfaceSheet {
  return cells;
}

function difference(from: JsonObject, to: JsonObject): JsonObject {
  const change: Record<string, unknown> = {};
  for (const key of new Set([...Object.keys(from), ...Object.keys(to)])) {
    const [was, is] = [from[key], to[key]];
    if (isJsonObject(was) && isJsonObject(is)) {
      const inner = difference(was, is);
      if (Object.keys(inner).length > 0) change[key] = inner;
    } else if (JSON.stringify(was) !== JSON.stringify(is)) change[key] = is ?? null;
  }
  return change;
}
