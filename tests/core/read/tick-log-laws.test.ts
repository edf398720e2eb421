/** Laws of the tick-log reader: chunks do not matter, no damage makes it throw, every line is accounted for. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../../core/errors.ts';
import type { TickLogReading } from '../../../core/read/logger-run.ts';
import { createEdgeReader, type EdgeLog } from './edge-log.ts';
import { bytesOf, sealed } from './log-text.ts';

/** Pieces of which logs and their damage are made. */
const piece = fc.oneof(
  { weight: 6, arbitrary: fc.tuple(fc.nat(5000), fc.nat(1)).map(([tick, dark]) => `${tick},${dark}`) },
  { weight: 2, arbitrary: fc.tuple(fc.nat(2 ** 32 - 1), fc.nat(1)).map(([tick, dark]) => `${tick},${dark}`) },
  { weight: 1, arbitrary: fc.nat(5000).map((tick) => `${tick},M,14.5`) },
  { weight: 1, arbitrary: fc.nat(5000).map((tick) => `${tick},H,1`) },
  { weight: 1, arbitrary: fc.nat(5000).map((tick) => `${tick},T,1.5,-2`) },
  {
    weight: 2,
    arbitrary: fc
      .tuple(fc.nat(5000), fc.nat(59))
      .map(
        ([tick, s]) =>
          `${tick},${sealed(`GPRMC,1200${String(s).padStart(2, '0')},A,4134.5,N,09345.03,W,5,92,180320,,,A`)}`,
      ),
  },
  { weight: 1, arbitrary: fc.constant(sealed('GPRMC,120000,A,4134.5,N,09345.03,W,5,92,180320,,,A')) },
  { weight: 1, arbitrary: fc.constant(`100,${sealed('GPGSV,1,1,00')}`) },
  { weight: 1, arbitrary: fc.string({ maxLength: 20 }) },
  { weight: 1, arbitrary: fc.constant('\u0000\u0000\u0000') },
  { weight: 1, arbitrary: fc.constantFrom('t_us,beam', '# note', '', '7'.repeat(4090), 'é'.repeat(2100)) },
);
const ending = fc.oneof(
  { weight: 8, arbitrary: fc.constant('\n') },
  { weight: 2, arbitrary: fc.constantFrom('\r\n', '', '\u0000', '\r') },
);
const logText = fc.array(fc.tuple(piece, ending), { maxLength: 60 }).map((lines) => lines.flat().join(''));

function read(chunks: readonly Uint8Array[]): Result<TickLogReading<EdgeLog>> {
  const reader = createEdgeReader('a.log');
  for (const chunk of chunks) reader.push(chunk);
  return reader.finish();
}

function chunked(bytes: Uint8Array, cuts: readonly number[]): Uint8Array[] {
  const at = [0, ...cuts.map((cut) => Math.min(cut, bytes.length)).sort((a, b) => a - b), bytes.length];
  return at.slice(1).map((end, i) => bytes.subarray(at[i], end));
}

describe('laws', () => {
  it('any cutting of the bytes into chunks gives the same reading', () => {
    fc.assert(
      fc.property(logText, fc.array(fc.nat(12_000), { maxLength: 12 }), (text, cuts) => {
        const bytes = bytesOf(text);
        expect(read(chunked(bytes, cuts))).toEqual(read([bytes]));
      }),
      { numRuns: 300 },
    );
  });

  it('byte by byte gives the same reading', () => {
    fc.assert(
      fc.property(logText, (text) => {
        const bytes = bytesOf(text);
        expect(read(Array.from(bytes, (byte) => Uint8Array.of(byte)))).toEqual(read([bytes]));
      }),
      { numRuns: 60 },
    );
  });

  it('no bytes make it throw', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 400 }), { maxLength: 4 }), (chunks) => {
        const result = read(chunks);
        expect(typeof result.ok).toBe('boolean');
      }),
      { numRuns: 300 },
    );
  });

  it('counters of a run never fall, states are 0 and 1, and every edge line is a row, a counted case of damage, or both', () => {
    const edgeLines = fc.array(fc.tuple(fc.nat(100_000), fc.nat(1)), { minLength: 1, maxLength: 80 });
    fc.assert(
      fc.property(edgeLines, (lines) => {
        const result = read([bytesOf(lines.map(([tick, dark]) => `${tick},${dark}\n`).join(''))]);
        if (!result.ok) throw new Error(result.error.text);
        let rows = 0;
        for (const { beam } of result.value.runs) {
          rows += beam.tick_us.length;
          for (let i = 1; i < beam.tick_us.length; i++) {
            expect(beam.tick_us[i]).toBeGreaterThanOrEqual(beam.tick_us[i - 1]);
          }
        }
        const left = result.value.damage
          .filter(({ kind }) => kind === 'out_of_order' || kind === 'repeated_line')
          .reduce((sum, { count }) => sum + count, 0);
        expect(rows).toBeLessThanOrEqual(lines.length);
        expect(rows + left).toBeGreaterThanOrEqual(lines.length);
      }),
      { numRuns: 400 },
    );
  });

  it('an undamaged log comes back as it was written, wraps and all', () => {
    const steps = fc.array(fc.integer({ min: 1, max: 2 ** 30 }), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(fc.nat(2 ** 32 - 1), steps, (first, widths) => {
        const ticks = [first];
        for (const width of widths) ticks.push(ticks[ticks.length - 1] + width);
        const text = ticks.map((tick, i) => `${tick % 2 ** 32},${i % 2}\n`).join('');
        const result = read([bytesOf(text)]);
        if (!result.ok) throw new Error(result.error.text);
        expect(result.value.runs).toHaveLength(1);
        expect(Array.from(result.value.runs[0].beam.tick_us)).toEqual(ticks);
        expect(result.value.damage).toEqual([]);
      }),
      { numRuns: 200 },
    );
  });
});
