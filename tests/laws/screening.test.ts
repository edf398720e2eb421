/** No point is lost to screening and no kilogram to the ledger, whatever the points and the settings. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type FieldPoints, SCREENING_RULES } from '../../core/result.ts';
import { ledgerOfSeason } from '../../core/screen/ledger.ts';
import { RULES, rulesInForce } from '../../core/screen/rules.ts';
import { screenPoints } from '../../core/screen/screen.ts';
import type { RuleSheet, ScreeningRule } from '../../core/season.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const maybe = (arbitrary: fc.Arbitrary<number>) =>
  fc.oneof({ weight: 9, arbitrary }, { weight: 1, arbitrary: fc.constant(Number.NaN) });
const flag = fc.integer({ min: 0, max: 1 });

const point = fc.record({
  machine: flag,
  pass: fc.integer({ min: -1, max: 3 }),
  duration_s: maybe(between(0, 9)),
  speed_m_s: maybe(between(0, 4)),
  width_share: maybe(between(0, 1)),
  fresh_area_m2: maybe(between(0, 30)),
  position_se_m: maybe(between(0, 5)),
  no_fix: flag,
  outside: flag,
  mismatch: maybe(between(-1, 1)),
  near_end: flag,
  yield_kg_m2: maybe(between(-1, 5)),
  distance_m: maybe(between(0, 9)),
  fill: maybe(between(-0.1, 1)),
  moisture_pct: maybe(between(5, 40)),
  east_m: maybe(between(0, 30)),
  north_m: maybe(between(0, 30)),
  header_width_m: maybe(between(3, 15)),
  by_hand: flag,
  mass_kg: between(-5, 50),
});
type Point = typeof point extends fc.Arbitrary<infer T> ? T : never;

/** Any switches and numbers, those of rules that know none included. */
const settings = fc.record(
  Object.fromEntries(
    SCREENING_RULES.map((rule) => [
      rule,
      fc.record(
        {
          on: fc.boolean(),
          ...Object.fromEntries(Object.keys(RULES[rule].numbers).map((name) => [name, between(0, 8)])),
        },
        { requiredKeys: [] },
      ),
    ]),
  ) as { [rule in ScreeningRule]: fc.Arbitrary<RuleSheet> },
  { requiredKeys: [] },
);

function screened(points: readonly Point[], sheet: { [rule in ScreeningRule]?: RuleSheet }): Uint8Array {
  const float = (of: (p: Point) => number) => Float64Array.from(points, of);
  return screenPoints(
    {
      machine: Int32Array.from(points, (p) => p.machine),
      pass: Int32Array.from(points, (p) => p.pass),
      duration_s: float((p) => p.duration_s),
      speed_m_s: float((p) => p.speed_m_s),
      width_share: float((p) => p.width_share),
      fresh_area_m2: float((p) => p.fresh_area_m2),
      position_se_m: float((p) => p.position_se_m),
      no_fix: Uint8Array.from(points, (p) => p.no_fix),
      outside: Uint8Array.from(points, (p) => p.outside),
      mismatch: float((p) => p.mismatch),
      near_end: Uint8Array.from(points, (p) => p.near_end),
      yield_kg_m2: float((p) => p.yield_kg_m2),
      distance_m: float((p) => p.distance_m),
      fill: float((p) => p.fill),
      moisture_pct: float((p) => p.moisture_pct),
      east_m: float((p) => p.east_m),
      north_m: float((p) => p.north_m),
      header_width_m: float((p) => p.header_width_m),
    },
    Uint8Array.from(points, (p) => p.by_hand),
    rulesInForce(sheet),
  );
}

it('each point is kept or has the reason of a rule that is in force', () => {
  fc.assert(
    fc.property(fc.array(point, { maxLength: 60 }), settings, (points, sheet) => {
      const found = screened(points, sheet);
      expect(found).toHaveLength(points.length);
      for (const rule of found) {
        if (rule === 0) continue;
        expect(rule).toBeLessThanOrEqual(SCREENING_RULES.length);
        expect(sheet[SCREENING_RULES[rule - 1]]?.on).not.toBe(false);
      }
    }),
  );
});

it('a rule that is switched off leaves its points to later rules, and those of earlier ones alone', () => {
  fc.assert(
    fc.property(
      fc.array(point, { maxLength: 60 }),
      settings,
      fc.constantFrom(...SCREENING_RULES),
      (points, sheet, off) => {
        const before = screened(points, { ...sheet, [off]: { ...sheet[off], on: true } });
        const after = screened(points, { ...sheet, [off]: { on: false } });
        const index = SCREENING_RULES.indexOf(off) + 1;
        before.forEach((rule, i) => {
          if (rule !== 0 && rule < index) expect(after[i]).toBe(rule);
          if (rule === index) expect(after[i] === 0 || after[i] > index).toBe(true);
        });
      },
    ),
  );
});

it('the ledger closes with every kilogram that the points hold', () => {
  fc.assert(
    fc.property(
      fc.array(point, { maxLength: 60 }),
      settings,
      between(-9, 9),
      (points, sheet, remainder_kg) => {
        const screened_by = screened(points, sheet);
        const mass_kg = Float64Array.from(points, (p) => p.mass_kg);
        const rowsOf = (machine: number) =>
          Int32Array.from([...points.keys()].filter((i) => points[i].machine === machine));
        const plots = [0, 1].map((m) => ({ machine: `c${m}`, rows: rowsOf(m), remainder_kg }));
        const field = { field: 'Home', mass_kg, screened_by } as unknown as FieldPoints;
        const ledger = ledgerOfSeason([{ points: field, plots }]);
        let passed_kg = 0;
        for (const row of ledger) {
          const accounts = Object.values(row.screened_kg).concat(
            row.mapped_kg,
            row.outside_field_kg,
            row.not_cutting_kg,
          );
          expect(accounts.reduce((a, b) => a + b, 0)).toBeCloseTo(row.beam_kg, 9);
          passed_kg += row.beam_kg;
        }
        expect(passed_kg).toBeCloseTo(
          mass_kg.reduce((a, b) => a + b, 2 * remainder_kg),
          9,
        );
      },
    ),
  );
});
