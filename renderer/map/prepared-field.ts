/** Everything about a field's rows that does not change with colour or selection, made once for each set of columns. */
import type { SideContent } from './field-side.ts';
import { type Ground, groundSteps } from './ground.ts';
import { pause, steadily } from './pause.ts';
import { PointIndex } from './point-index.ts';
import { markSteps } from './screened-marks.ts';
import { PAINT_BYTES, shapeSteps } from './swath-buffers.ts';
import type { FieldColumns } from './types.ts';

export interface PreparedField {
  readonly columns: FieldColumns;
  readonly ground: Ground;
  readonly content: SideContent;
  readonly index: PointIndex;
}

const prepared = new WeakMap<FieldColumns, Promise<PreparedField | undefined>>();

/** Made in steps with pauses between them; `undefined` when no row has a position. */
export function preparedField(columns: FieldColumns): Promise<PreparedField | undefined> {
  const known = prepared.get(columns);
  if (known) return known;
  const making = prepare(columns);
  prepared.set(columns, making);
  return making;
}

async function prepare(columns: FieldColumns): Promise<PreparedField | undefined> {
  await pause();
  const ground = await steadily(groundSteps(columns));
  if (!ground) return undefined;
  const shapes = await steadily(shapeSteps(columns, ground));
  const marks = await steadily(markSteps(columns, ground));
  await pause();
  const index = new PointIndex(ground.xy_m);
  const content = { ground, shapes, marks, paint: new ArrayBuffer(PAINT_BYTES * ground.rows) };
  return { columns, ground, content, index };
}
