import { describe, expect, it } from 'vitest';
import { SCREENING_RULES } from '../../../core/result.ts';
import { rulesInForce } from '../../../core/screen/rules.ts';
import { type ScreenInput, screenPoints } from '../../../core/screen/screen.ts';

const NAN = Number.NaN;

/** Points that no rule catches, but for what is changed: column → row → number. */
function caught(
  count: number,
  changes: { readonly [column in keyof ScreenInput]?: { readonly [row: number]: number } },
  rules = rulesInForce(undefined),
  by_hand = new Uint8Array(count),
): (string | undefined)[] {
  const of = (x: number) => new Float64Array(count).fill(x);
  const input: ScreenInput = {
    machine: new Int32Array(count),
    pass: new Int32Array(count),
    duration_s: of(1),
    speed_m_s: of(2),
    width_share: of(1),
    fresh_area_m2: of(18),
    position_se_m: of(0.3),
    no_fix: new Uint8Array(count),
    outside: new Uint8Array(count),
    mismatch: of(0),
    near_end: new Uint8Array(count),
    yield_kg_m2: Float64Array.from({ length: count }, (_, i) => 1 + 0.01 * (i % 5)),
    distance_m: of(30),
    fill: of(0.3),
    moisture_pct: of(18),
    // each in a cell of its own, so that neighbours do not speak
    east_m: Float64Array.from({ length: count }, (_, i) => 1000 * i),
    north_m: of(0),
    header_width_m: of(9),
  };
  for (const [name, rows] of Object.entries(changes)) {
    for (const [row, x] of Object.entries(rows)) input[name as keyof ScreenInput][Number(row)] = x;
  }
  return [...screenPoints(input, by_hand, rules)].map((rule) => SCREENING_RULES[rule - 1]);
}

describe('work on other ground', () => {
  const rows = (from: number, to: number, x: number) =>
    Object.fromEntries(Array.from({ length: to - from }, (_, k) => [from + k, x]));

  it('counts as outside also where nothing is cut, after a minute of it', () => {
    // inside, out for 70 s with a turn before the minute is over and one after it, home, and a turn
    const found = caught(110, {
      outside: rows(10, 100, 1),
      pass: { ...rows(30, 34, -1), ...rows(80, 90, -1), ...rows(105, 110, -1) },
    });
    expect(found.slice(30, 34)).toEqual(new Array(4).fill('not_cutting'));
    expect(found.slice(80, 90)).toEqual(new Array(10).fill('outside_field'));
    expect(found.slice(105)).toEqual(new Array(5).fill('not_cutting'));
  });

  it('does not take a turn behind the boundary for it', () => {
    const found = caught(40, { outside: rows(20, 40, 1), pass: rows(25, 40, -1) });
    expect(found.slice(25)).toEqual(new Array(15).fill('not_cutting'));
  });

  it('stays what it is where the boundary does not screen', () => {
    const { outside_field: _, ...others } = rulesInForce(undefined);
    const found = caught(100, { outside: rows(0, 100, 1), pass: rows(80, 100, -1) }, others);
    expect(found.slice(80)).toEqual(new Array(20).fill('not_cutting'));
  });
});

describe('screening', () => {
  it('keeps good points', () => {
    expect(caught(6, {})).toEqual(new Array(6).fill(undefined));
    expect(caught(0, {})).toEqual([]);
  });

  it('gives each point its reason', () => {
    const found = caught(30, {
      pass: { 0: -1 },
      outside: { 1: 1 },
      no_fix: { 2: 1 },
      position_se_m: { 3: NAN },
      duration_s: { 4: 5.5 },
      near_end: { 5: 1 },
      mismatch: { 5: -0.06, 6: -0.06, 7: 0.13 },
      width_share: { 8: 0.32 },
      fresh_area_m2: { 9: 0 },
      yield_kg_m2: { 10: 9, 11: NAN },
    });
    expect(found.slice(0, 12)).toEqual([
      'not_cutting',
      'outside_field',
      'no_fix',
      'no_fix',
      'no_fix',
      'ramp',
      undefined,
      'speed_jump',
      'narrow_cut',
      'narrow_cut',
      'yield_limits',
      'yield_limits',
    ]);
  });

  it('knows what was left out by hand, heaps that touch and moisture that cannot be', () => {
    const found = caught(
      12,
      { fill: { 1: 0.9, 2: NAN }, moisture_pct: { 3: 22, 4: 20.9, 5: NAN } },
      rulesInForce(undefined),
      Uint8Array.of(1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0),
    );
    expect(found.slice(0, 6)).toEqual([
      'by_hand',
      'flow_range',
      undefined,
      'moisture_range',
      undefined,
      undefined,
    ]);
  });

  it('lets a scattered moisture be what it is', () => {
    const scattered = Object.fromEntries(Array.from({ length: 20 }, (_, i) => [i, 14 + (i % 9)]));
    expect(caught(20, { moisture_pct: scattered })).toEqual(new Array(20).fill(undefined));
  });

  it('measures a pass over all its points, by machine', () => {
    const short = {
      distance_m: { 0: 8, 1: 8, 2: 8, 3: 10, 4: 9 },
      pass: { 0: 1, 1: 1, 3: 2, 4: 2 },
      machine: { 2: 1 },
    };
    // machine 0: pass 1 is 16 m, pass 2 is 19 m; machine 1: pass 0 is 8 m
    expect(caught(7, short)).toEqual([...new Array(5).fill('short_pass'), undefined, undefined]);
    const { short_pass: _, ...others } = rulesInForce(undefined);
    expect(caught(7, short, others)).toEqual(new Array(7).fill(undefined));
  });

  it('hears the ground around', () => {
    // six passes 9 m apart, a point every 3 m
    const east = Object.fromEntries(Array.from({ length: 120 }, (_, i) => [i, 9 * Math.floor(i / 20)]));
    const north = Object.fromEntries(Array.from({ length: 120 }, (_, i) => [i, 3 * (i % 20)]));
    const rules = rulesInForce({ yield_limits: { on: false } });
    const found = caught(120, { east_m: east, north_m: north, yield_kg_m2: { 50: 1.12 } }, rules);
    expect(found[50]).toBe('local_outlier');
    expect(found.filter((rule) => rule !== undefined)).toHaveLength(1);
    const two = caught(
      120,
      { east_m: east, north_m: north, yield_kg_m2: { 50: 1.12, 53: 9 } },
      rulesInForce({}),
    );
    expect(two.slice(49, 55)).toEqual([
      undefined,
      'yield_limits',
      'local_outlier',
      'local_outlier',
      'yield_limits',
      undefined,
    ]);
    // better ground in the east, where one point is like the west
    const halves = Object.fromEntries(
      Array.from({ length: 120 }, (_, i) => [i, (i < 60 ? 1 : 1.5) + 0.01 * (i % 5)]),
    );
    const asked = (moran_p_max: number) =>
      caught(
        120,
        { east_m: east, north_m: north, yield_kg_m2: { ...halves, 90: 1.1 } },
        rulesInForce({ yield_limits: { on: false }, local_outlier: { deviations_max: 99, moran_p_max } }),
      );
    expect(asked(0).every((rule) => rule === undefined)).toBe(true);
    expect(asked(0.05)[90]).toBe('local_outlier');
  });

  it('names the first rule in the order, and the next one when that is switched off', () => {
    const changes = { pass: { 0: -1 }, outside: { 0: 1 }, speed_m_s: { 0: 0.1 } };
    expect(caught(3, changes)[0]).toBe('not_cutting');
    expect(caught(3, changes, rulesInForce({ not_cutting: { on: false } }))[0]).toBe('outside_field');
    const off = { not_cutting: { on: false }, outside_field: { on: false } };
    expect(caught(3, changes, rulesInForce(off))[0]).toBe('slow');
    expect(caught(3, { pass: { 0: -1 }, yield_kg_m2: { 0: NAN } }, {})).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
  });

  it('judges a change of speed within pass and machine, also where machines take turns', () => {
    const stepped = { speed_m_s: { 2: 3, 3: 3, 4: 3, 5: 3 } };
    // 2 to 3 m/s is a change of a third of the new speed
    expect(caught(6, stepped)[2]).toBe('speed_jump');
    expect(caught(6, { ...stepped, pass: { 2: 1, 3: 1, 4: 1, 5: 1 } })[2]).toBeUndefined();
    const twoMachines = { machine: { 1: 1, 3: 1, 5: 1 }, speed_m_s: { 1: 4, 3: 4, 4: 3, 5: 4 } };
    expect(caught(6, twoMachines)).toEqual([
      undefined,
      undefined,
      undefined,
      undefined,
      'speed_jump',
      undefined,
    ]);
  });

  it('sets limits of yield by what the other rules left', () => {
    // forty of fifty are absurd, but slow
    const slow = Object.fromEntries(Array.from({ length: 40 }, (_, i) => [i, 0.2]));
    const absurd = Object.fromEntries(Array.from({ length: 40 }, (_, i) => [i, 30 + i]));
    const found = caught(50, { speed_m_s: slow, yield_kg_m2: absurd });
    expect(found.slice(41)).toEqual(new Array(9).fill(undefined));
  });

  it('keeps yields that are equal to the last digit, and the few beside them', () => {
    const even = Object.fromEntries(Array.from({ length: 9 }, (_, i) => [i, 1]));
    expect(caught(10, { yield_kg_m2: { ...even, 9: 1.0001 } })).toEqual(new Array(10).fill(undefined));
  });
});
