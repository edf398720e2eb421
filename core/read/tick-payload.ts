/** Payloads of tick-log lines other than beam edges. */
import type { DamageKind } from '../errors.ts';
import { HEADER_UP_CODE } from './header-state.ts';
import type { NmeaParser } from './nmea.ts';
import type { TickPayload } from './run-columns.ts';
import { decimalFromBytes } from './sentence-fields.ts';

const COMMA = 0x2c;
const SPACE = 0x20;
const TAB = 0x09;

/**
 * Reads `$…*hh`, `M,<pct>`, `H,<0 or 1>` or `T,<pitch_deg>,<roll_deg>` in `bytes[start..end)` (without line end).
 * What cannot be used is answered with the kind of damage.
 */
export function parseTickPayload(
  bytes: Uint8Array,
  start: number,
  end: number,
  nmea: NmeaParser,
): TickPayload | DamageKind {
  if (start >= end) return 'unreadable_line';
  const letter = bytes[start];
  if (letter === 0x24) {
    const sentence = nmea.parse(bytes, start, end);
    return typeof sentence === 'string' ? sentence : { kind: 'sentence', sentence };
  }
  if (end - start < 2 || bytes[start + 1] !== COMMA) return 'unreadable_line';
  switch (String.fromCharCode(letter)) {
    case 'M': {
      const moisture_pct = cell(bytes, start + 2, end);
      return Number.isNaN(moisture_pct) ? 'bad_number' : { kind: 'moisture', moisture_pct };
    }
    case 'H': {
      const code = cell(bytes, start + 2, end);
      if (code !== 0 && code !== 1) return 'bad_number';
      return { kind: 'header', up: code === HEADER_UP_CODE ? 1 : 0 };
    }
    case 'T': {
      const comma = bytes.subarray(0, end).indexOf(COMMA, start + 2);
      if (comma < 0) return 'unreadable_line';
      const pitch_deg = cell(bytes, start + 2, comma);
      const roll_deg = cell(bytes, comma + 1, end);
      return Number.isNaN(pitch_deg + roll_deg) ? 'bad_number' : { kind: 'tilt', pitch_deg, roll_deg };
    }
    default:
      return 'unreadable_line';
  }
}

function cell(bytes: Uint8Array, from: number, to: number): number {
  let start = from;
  let end = to;
  while (start < end && isBlank(bytes[start])) start++;
  while (start < end && isBlank(bytes[end - 1])) end--;
  return decimalFromBytes(bytes, start, end);
}

function isBlank(byte: number): boolean {
  return byte === SPACE || byte === TAB;
}
