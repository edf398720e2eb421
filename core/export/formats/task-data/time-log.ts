/**
 * Time logs of ISO 11783-10: `TLG00001.XML` says what a record holds, `TLG00001.BIN` has the records, little-endian: milliseconds
 * since midnight (uint32), days since 1980-01-01 (uint16), north and east (int32, signed, 1e-7 °), position status (uint8), UTC of the
 * position again (uint32, uint16), how many values follow (uint8), and for each its place in the header (uint8) and int32.
 */
import type { ExportLayer } from '../../layers/layer.ts';
import { xmlAttributes } from '../xml-text.ts';
import { ddiText, type LoggedQuantity } from './logged-quantities.ts';

/** Rows of one machine in one field, in the order of time, each with a time and a place. */
export interface TimeLog {
  readonly layer: ExportLayer;
  readonly rows: Int32Array;
  /** Milliseconds since 1970, UTC, of each of `rows`. */
  readonly utc_ms: Float64Array;
  readonly quantities: readonly LoggedQuantity[];
}

/** Element of the device that reports the values. */
export function timeLogHeader(quantities: readonly LoggedQuantity[], element: string): string {
  const values = quantities.map(
    ({ ddi }) => `<DLV${xmlAttributes({ A: ddiText(ddi), B: '', C: element })}/>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n<TIM A="" D="4"><PTN A="" B="" D="" H="" I=""/>${values.join('')}</TIM>\n`;
}

const MS_PER_DAY = 86_400_000;
/** From 1970-01-01 to 1980-01-01. */
const DAYS_BEFORE_1980 = 3652;
const UNITS_PER_DEGREE = 1e7;
/** Position status: a satellite fix of whatever kind. */
const GNSS_FIX = 1;
const HEAD_BYTES = 22;
const VALUE_BYTES = 5;
const MOST_INT32 = 2 ** 31 - 1;

/** Values that are absent, and such as 32 bits do not hold (yields beyond 21,474 t/ha), are not among those of their record. */
export function timeLogBytes({ layer, rows, utc_ms, quantities }: TimeLog): Uint8Array {
  const { geometry } = layer;
  if (geometry.kind !== 'point') throw new RangeError('time logs hold points, not polygons');
  const values = quantities.map((quantity) => quantity.of(layer) ?? (() => Number.NaN));
  const view = new DataView(new ArrayBuffer(rows.length * (HEAD_BYTES + VALUE_BYTES * values.length)));
  let at = 0;
  for (const [k, row] of rows.entries()) {
    const days = Math.floor(utc_ms[k] / MS_PER_DAY);
    const ms = utc_ms[k] - days * MS_PER_DAY;
    view.setUint32(at, ms, true);
    view.setUint16(at + 4, days - DAYS_BEFORE_1980, true);
    view.setInt32(at + 6, Math.round(geometry.latitude_deg[row] * UNITS_PER_DEGREE), true);
    view.setInt32(at + 10, Math.round(geometry.longitude_deg[row] * UNITS_PER_DEGREE), true);
    view.setUint8(at + 14, GNSS_FIX);
    view.setUint32(at + 15, ms, true);
    view.setUint16(at + 19, days - DAYS_BEFORE_1980, true);
    const countAt = at + HEAD_BYTES - 1;
    at += HEAD_BYTES;
    let count = 0;
    for (const [place, of] of values.entries()) {
      const whole = Math.round(of(row));
      if (!(Math.abs(whole) <= MOST_INT32)) continue;
      view.setUint8(at, place);
      view.setInt32(at + 1, whole, true);
      at += VALUE_BYTES;
      count++;
    }
    view.setUint8(countAt, count);
  }
  return new Uint8Array(view.buffer, 0, at);
}
