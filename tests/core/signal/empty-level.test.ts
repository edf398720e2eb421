import { describe, expect, it } from 'vitest';
import {
  emptyLevelFromGeometry,
  emptyLevelNotices,
  estimateEmptyLevel,
} from '../../../core/signal/empty-level.ts';
import { range } from './made-fixes.ts';

const PADDLE = { pitch_mm: 200, width_mm: 260, depth_mm: 150, thickness_mm: 10 };

/** Ten paddles a second; the dark fraction of each by `level_at`, with a small even scatter. */
function paddles(count: number, level_at: (i: number) => number) {
  return {
    t_s: Float64Array.from(range(count), (i) => i / 10),
    dark_fraction: Float64Array.from(range(count), (i) => level_at(i) + 0.002 * (((i * 37) % 41) / 20 - 1)),
    slots: new Float64Array(count).fill(1),
    period_s: new Float64Array(count).fill(0.1),
  };
}

describe('empty level', () => {
  it('by geometry is paddle and beam over pitch', () => {
    expect(emptyLevelFromGeometry(PADDLE, undefined)).toBeCloseTo((10 + 5) / 200, 12);
    expect(emptyLevelFromGeometry(PADDLE, { height_mm: 8 })).toBeCloseTo(18 / 200, 12);
  });

  it('is read in each spell, so that drift shows', () => {
    const found = estimateEmptyLevel(
      paddles(4000, (i) => (i < 1000 ? 0.08 : i < 3000 ? 0.5 : 0.09)),
      [
        { from_s: 0, to_s: 100 },
        { from_s: 300, to_s: 400 },
      ],
      PADDLE,
      undefined,
    );
    expect(found.method).toBe('measured');
    expect([...found.t_s]).toEqual([50, 350]);
    expect(found.dark_fraction[0]).toBeCloseTo(0.08, 3);
    expect(found.dark_fraction[1]).toBeCloseTo(0.09, 3);
    expect(found.standard_error[0]).toBeGreaterThan(0);
    expect(found.standard_error[0]).toBeLessThan(0.0002);
    expect(emptyLevelNotices(found, PADDLE, 'a.log')).toEqual([]);
  });

  it('is not moved by a third of paddles that still carry grain', () => {
    const spilled = paddles(900, (i) => (i % 3 === 0 ? 0.12 + (i % 50) / 200 : 0.08));
    const found = estimateEmptyLevel(spilled, [{ from_s: 0, to_s: 90 }], PADDLE, undefined);
    expect(found.dark_fraction[0]).toBeCloseTo(0.08, 3);
  });

  it('adds the share of a bent paddle to the mode', () => {
    const bent = paddles(2440, (i) => (i % 61 === 5 ? 0.14 : 0.08));
    const found = estimateEmptyLevel(bent, [{ from_s: 0, to_s: 244 }], { ...PADDLE, count: 61 }, undefined);
    expect(found.signature?.bent).toHaveLength(1);
    expect(found.dark_fraction[0]).toBeCloseTo(0.08 + 0.06 / 61, 4);
  });

  it('leaves out missed and hidden paddles, and spells of fewer than forty', () => {
    const few = paddles(100, () => 0.08);
    few.slots.fill(2, 0, 40);
    few.dark_fraction.fill(Number.NaN, 40, 61);
    const found = estimateEmptyLevel(few, [{ from_s: 0, to_s: 10 }], PADDLE, undefined);
    expect(found).toMatchObject({ method: 'geometry', geometry: 0.075 });
    expect([...found.dark_fraction]).toEqual([0.075]);
    expect(emptyLevelNotices(found, PADDLE, 'a.log')[0]).toMatchObject({ code: 'empty_level_from_geometry' });
    expect(
      estimateEmptyLevel(
        paddles(0, () => 0),
        [],
        PADDLE,
        undefined,
      ).method,
    ).toBe('geometry');
  });

  it('is doubted when it is far from the paddle sheet', () => {
    const dirty = estimateEmptyLevel(
      paddles(900, () => 0.16),
      [{ from_s: 0, to_s: 90 }],
      PADDLE,
      undefined,
    );
    const [notice] = emptyLevelNotices(dirty, PADDLE, 'a.log');
    expect(notice.code).toBe('empty_level_off_geometry');
    // 16 % of 200 mm against 15 mm
    expect(notice.text).toContain('32 mm');
    expect(notice.text).toContain('15 mm');
    expect(emptyLevelNotices({ ...dirty, method: 'entered' }, PADDLE, 'a.log')).toEqual([]);
  });

  it.each([80, 150, 400, 500])('names the pitch when %d mm were entered for 200', (pitch_mm) => {
    const level = estimateEmptyLevel(
      paddles(900, () => 15 / 200),
      [{ from_s: 0, to_s: 90 }],
      { ...PADDLE, pitch_mm },
      undefined,
    );
    const [notice] = emptyLevelNotices(level, { ...PADDLE, pitch_mm }, 'a.log');
    expect(notice?.text).toContain(`With a pitch of 200 mm instead of ${pitch_mm} mm the two would agree`);
  });
});
