import fc from 'fast-check';
import { expect, test } from 'vitest';
import { beamSpans, creditSpans } from '../../../core/yield/credit.ts';

const t_s = Float64Array.of(0, 10, 20, 30);
const cumulative = Float64Array.of(0, 5, 25, 30);

test('a row gets what passed the beam in its time and shift; pauses go to the remainder of the row before', () => {
  const spans = beamSpans(Float64Array.of(0, 10), Float64Array.of(5, 14), Float64Array.of(4, 4));
  const { row, after, before } = creditSpans(spans, t_s, cumulative);
  expect(before).toBeCloseTo(2, 12);
  // 4 to 9 s, 9 to 14 s, 14 to 18 s, and the rest.
  expect([...row]).toEqual([2.5, 8].map((amount) => expect.closeTo(amount, 12)));
  expect([...after]).toEqual([8.5, 9].map((amount) => expect.closeTo(amount, 12)));
});

test('where a change of shift makes the grain of two rows overlap, the later begins where the earlier ends', () => {
  const spans = beamSpans(Float64Array.of(0, 5), Float64Array.of(5, 10), Float64Array.of(10, 7));
  expect([...spans.from_s]).toEqual([10, 15]);
  expect([...spans.to_s]).toEqual([15, 17]);
});

test('without rows all is before, without a record nothing is anywhere', () => {
  const none = beamSpans(new Float64Array(), new Float64Array(), new Float64Array());
  expect(creditSpans(none, t_s, cumulative).before).toBe(30);
  const spans = beamSpans(Float64Array.of(0), Float64Array.of(5), Float64Array.of(4));
  const nothing = creditSpans(spans, new Float64Array(), new Float64Array());
  expect([nothing.before, ...nothing.row, ...nothing.after]).toEqual([0, 0, 0]);
});

test('law: rows and remainders add up to what passed, whatever the rows and shifts', () => {
  const seconds = fc.double({ min: 0, max: 20, noNaN: true });
  const row = fc.record({
    pause_s: seconds,
    length_s: seconds,
    shift_s: fc.double({ min: -15, max: 15, noNaN: true }),
  });
  const step = fc.record({
    step_s: fc.double({ min: 0.01, max: 5, noNaN: true }),
    rise: fc.double({ min: -1, max: 9, noNaN: true }),
  });
  fc.assert(
    fc.property(
      fc.array(row, { maxLength: 30 }),
      fc.array(step, { minLength: 1, maxLength: 60 }),
      (rows, steps) => {
        const starts: number[] = [];
        const ends: number[] = [];
        for (const { pause_s, length_s } of rows) {
          starts.push((ends.at(-1) ?? 0) + pause_s);
          ends.push(starts[starts.length - 1] + length_s);
        }
        const knots_s = [0];
        const total = [0];
        for (const { step_s, rise } of steps) {
          knots_s.push(knots_s[knots_s.length - 1] + step_s);
          total.push(total[total.length - 1] + rise);
        }
        const shift_s = Float64Array.from(rows, ({ shift_s: s }) => s);
        const spans = beamSpans(Float64Array.from(starts), Float64Array.from(ends), shift_s);
        const credit = creditSpans(spans, Float64Array.from(knots_s), Float64Array.from(total));
        const sum = credit.before + [...credit.row, ...credit.after].reduce((a, b) => a + b, 0);
        expect(Math.abs(sum - total[total.length - 1])).toBeLessThan(1e-9);
      },
    ),
  );
});
