/** Grain is neither made nor lost, whatever the rows, shifts, fields, clocks and units. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { FieldLags } from '../../core/lag/field-lags.ts';
import type { FlowLogColumns } from '../../core/read/logger-run.ts';
import type { EmptyLevelSolution } from '../../core/signal/empty-level.ts';
import { flowFromPaddles } from '../../core/signal/flow.ts';
import { forwardClock, passageFromRecords, runningFromRecords } from '../../core/signal/flow-records.ts';
import type { MachineGrain } from '../../core/signal/grain-of-machine.ts';
import { amountBetween, type GrainPassage } from '../../core/signal/grain-passage.ts';
import { rowsInTime } from '../../core/signal/row-order.ts';
import type { FieldGround } from '../../core/track/field-ground.ts';
import { beamSpans, creditSpans } from '../../core/yield/credit.ts';
import { creditFields } from '../../core/yield/credit-fields.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const sum = (column: Iterable<number>) => [...column].reduce((total, x) => total + x, 0);

/** Sum of the elements up to and with each; unknown ones stay unknown and count for nothing. */
function runningTotals(steps: readonly number[]): Float64Array {
  let total = 0;
  return Float64Array.from(steps, (step) => {
    if (Number.isNaN(step)) return step;
    total += step;
    return total;
  });
}

/** Anything that may have passed: knots ascend strictly, amounts may fall a little near empty. */
const passages: fc.Arbitrary<GrainPassage> = fc
  .array(fc.tuple(between(0.01, 5), between(-0.5, 9)), { minLength: 1, maxLength: 80 })
  .map((steps) => ({
    t_s: runningTotals([0, ...steps.map(([step_s]) => step_s)]),
    cumulative: runningTotals([0, ...steps.map(([, rise]) => rise)]),
    basis: 'mass' as const,
  }));
/** Rows that ascend and do not overlap, each in one of three plots. */
const rows = fc
  .array(fc.tuple(between(0, 9), between(0, 9), fc.integer({ min: 0, max: 2 })), { maxLength: 40 })
  .map((steps) => {
    let t = 0;
    return steps.map(([pause_s, length_s, plot]) => {
      const t0_s = t + pause_s;
      t = t0_s + length_s;
      return { t0_s, t1_s: t, plot };
    });
  });
const shifts = fc.tuple(between(-20, 20), between(-20, 20), between(-20, 20));

describe('grain', () => {
  it('is in exactly one row or remainder of one field', () => {
    fc.assert(
      fc.property(passages, rows, shifts, (passage, driven, shift_s) => {
        fc.pre(driven.length > 0);
        const fields = shift_s.map((_, plot) => {
          const mine = driven.filter((row) => row.plot === plot);
          const column = (name: 't0_s' | 't1_s') => Float64Array.from(mine, (row) => row[name]);
          return {
            field: plot,
            plots: [{ record: 0, rows: { t0_s: column('t0_s'), t1_s: column('t1_s') } }],
          };
        }) as unknown as FieldGround[];
        const lags = shift_s.map((applied_s) => ({
          plots: [{ lag: { applied_s } }],
        })) as unknown as FieldLags[];
        const grain = {
          passage,
          running: { t_s: passage.t_s, cumulative_s: passage.t_s },
        } as unknown as MachineGrain;
        const credits = creditFields(fields, lags, [grain], { unsmear_iterations: 0 }).flatMap(
          ({ plots }) => plots,
        );
        const credited = sum(credits.map(({ amount, remainder }) => sum(amount) + remainder.amount));
        expect(credited).toBeCloseTo(passage.cumulative[passage.cumulative.length - 1], 9);
        const running_s = sum(credits.map(({ running_s: s, remainder }) => sum(s) + remainder.running_s));
        expect(running_s).toBeCloseTo(passage.t_s[passage.t_s.length - 1], 9);
      }),
    );
  });

  it('that came later by a shift is credited as if it had come at once', () => {
    fc.assert(
      fc.property(passages, rows, between(-50, 50), (passage, driven, shift) => {
        const t0_s = Float64Array.from(driven, (row) => row.t0_s);
        const t1_s = Float64Array.from(driven, (row) => row.t1_s);
        const credited = (t_s: Float64Array, shift_s: number) =>
          creditSpans(
            beamSpans(
              t0_s,
              t1_s,
              t0_s.map(() => shift_s),
            ),
            t_s,
            passage.cumulative,
          );
        const atOnce = credited(passage.t_s, 0);
        const later = credited(
          passage.t_s.map((t) => t + shift),
          shift,
        );
        later.row.forEach((amount, i) => {
          expect(amount).toBeCloseTo(atOnce.row[i], 9);
        });
      }),
    );
  });

  it('in an interval is the sum of that in its parts', () => {
    fc.assert(
      fc.property(
        passages,
        between(-10, 200),
        between(0, 50),
        between(0, 50),
        (passage, from, first, second) => {
          const whole = amountBetween(passage, from, from + first + second);
          const parts =
            amountBetween(passage, from, from + first) +
            amountBetween(passage, from + first, from + first + second);
          expect(parts).toBeCloseTo(whole, 9);
        },
      ),
    );
  });

  it('of flow records is flow times interval, whatever their clock does', () => {
    const record = fc.tuple(
      fc.oneof(
        { weight: 8, arbitrary: between(0, 3) },
        { weight: 1, arbitrary: between(-5000, 5000) },
        { weight: 1, arbitrary: fc.constant(Number.NaN) },
      ),
      fc.oneof(between(0.2, 3), fc.constant(0)),
      fc.oneof(between(0, 20), fc.constant(Number.NaN)),
    );
    fc.assert(
      fc.property(fc.array(record, { maxLength: 60 }), (log) => {
        const utc_s = runningTotals(log.map(([step_s]) => step_s));
        const interval_s = Float64Array.from(log, ([, s]) => s);
        const { t_s } = forwardClock(utc_s, interval_s, 0);
        for (let i = 1; i < t_s.length; i++)
          expect(t_s[i] - interval_s[i] - t_s[i - 1]).not.toBeLessThan(-1e-6);
        if (!utc_s.some((s) => !Number.isNaN(s))) return;
        const flow = Float64Array.from(log, ([, , kg_s]) => kg_s);
        const records = {
          columns: { mass_flow_kg_s: flow, volume_flow_m3_s: flow } as unknown as FlowLogColumns,
          t_s,
          interval_s,
        };
        const passage = passageFromRecords(records);
        const logged = sum(log.map(([, s, kg_s]) => (Number.isNaN(kg_s) ? 0 : s * kg_s)));
        expect(passage.cumulative[passage.cumulative.length - 1] ?? 0).toBeCloseTo(logged, 6);
        const running = runningFromRecords(records).cumulative_s;
        expect(running[running.length - 1] ?? 0).toBeCloseTo(sum(interval_s), 6);
        expect(passage.t_s.every((s, k) => k === 0 || s > passage.t_s[k - 1])).toBe(true);
      }),
    );
  });

  it('keeps every row of every log when logs are laid into each other', () => {
    const times = fc.array(
      fc.oneof({ weight: 9, arbitrary: between(0, 5000) }, { weight: 1, arbitrary: fc.constant(Number.NaN) }),
      { maxLength: 20 },
    );
    fc.assert(
      fc.property(fc.array(times, { maxLength: 5 }), (logs) => {
        const order = rowsInTime(logs.map((log) => Float64Array.from(log)));
        expect([...order].sort((a, b) => a - b)).toEqual(logs.flat().map((_, row) => row));
      }),
    );
  });
});

describe('volume on paddles', () => {
  const heaps = fc.array(fc.tuple(between(0.05, 0.3), between(0, 0.95)), { minLength: 2, maxLength: 60 });
  const SHEET = { pitch_mm: 200, width_mm: 260, depth_mm: 150, thickness_mm: 10 };
  const NO_PITCH = { t_s: new Float64Array(), pitch_rad: new Float64Array() };
  const level = (dark_fraction: number) =>
    ({
      t_s: Float64Array.of(0),
      dark_fraction: Float64Array.of(dark_fraction),
    }) as unknown as EmptyLevelSolution;

  function volume(
    rows: readonly (readonly [period_s: number, dark: number])[],
    sheet = SHEET,
    slots = 1,
  ): number {
    const paddles = {
      t_s: runningTotals(rows.map(([period_s]) => period_s)),
      period_s: Float64Array.from(rows, ([period_s]) => period_s),
      dark_fraction: Float64Array.from(rows, ([, dark]) => dark),
      slots: new Float64Array(rows.length).fill(slots),
    };
    const { cumulative } = flowFromPaddles(paddles, level(0.075), sheet, undefined, NO_PITCH).passage;
    return cumulative[cumulative.length - 1];
  }

  it('grows with pitch and area of the paddle, and with nothing else of them', () => {
    fc.assert(
      fc.property(heaps, between(0.2, 5), between(0.2, 5), (rows, longer, wider) => {
        const scaled = { ...SHEET, pitch_mm: longer * SHEET.pitch_mm, width_mm: wider * SHEET.width_mm };
        expect(volume(rows, scaled)).toBeCloseTo(longer * wider * volume(rows), 9);
        const turned = { ...SHEET, width_mm: SHEET.depth_mm, depth_mm: SHEET.width_mm };
        expect(volume(rows, turned)).toBeCloseTo(volume(rows), 12);
      }),
    );
  });

  it('does not depend on the speed of the chain', () => {
    fc.assert(
      fc.property(heaps, between(0.3, 3), (rows, slower) => {
        expect(volume(rows.map(([period_s, dark]) => [slower * period_s, dark] as const))).toBeCloseTo(
          volume(rows),
          12,
        );
      }),
    );
  });

  it('is that of so many paddles where several were missed', () => {
    fc.assert(
      fc.property(heaps, fc.integer({ min: 1, max: 9 }), (rows, slots) => {
        expect(volume(rows, SHEET, slots)).toBeCloseTo(slots * volume(rows), 9);
      }),
    );
  });
});
