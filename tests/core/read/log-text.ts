/** Sentences, bytes and readings for the tests of the readers. */
import type { TickLogReading } from '../../../core/read/logger-run.ts';
import { NmeaParser, type NmeaSentence } from '../../../core/read/nmea.ts';
import { createEdgeReader, type EdgeLog } from './edge-log.ts';

export function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

/** The body of a sentence with `$` and its right checksum. */
export function sealed(body: string): string {
  let sum = 0;
  for (const byte of bytesOf(body)) sum ^= byte;
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}

export function parseNmeaText(text: string): NmeaSentence | string {
  const bytes = bytesOf(text);
  return new NmeaParser().parse(bytes, 0, bytes.length);
}

/** Reads a whole text or byte file; throws when it cannot be read at all. */
export function readTickLog(content: string | Uint8Array): TickLogReading<EdgeLog> {
  const reader = createEdgeReader('logs/c1.log');
  reader.push(typeof content === 'string' ? bytesOf(content) : content);
  const result = reader.finish();
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

/** Damage as `{ kind: count }`. */
export function damageCounts(reading: { damage: TickLogReading<unknown>['damage'] }): Record<string, number> {
  return Object.fromEntries(reading.damage.map(({ kind, count }) => [kind, count]));
}
