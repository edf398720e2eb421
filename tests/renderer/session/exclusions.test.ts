import { describe, expect, it } from 'vitest';
import { excludedByHand } from '../../../core/screen/exclusions.ts';
import type { Season } from '../../../core/season.ts';
import { lineAround, rememberLine } from '../../../renderer/map/selections.ts';
import { exclusionWords, offerOfSelection, offerOfSpan } from '../../../renderer/session/exclusions.ts';
import { fieldOf } from '../map/columns.ts';

const SEASON = {
  machines: [
    { id: 'c1', name: 'combine 1', header: { width_m: 9 } },
    { id: 'c2', name: 'combine 2', header: { width_m: 9 } },
  ],
} as unknown as Season;
const FRAME = { machines: ['c1', 'c2'], epoch_utc_s: Date.UTC(2026, 8, 1, 10) / 1000 };
/** Two machines take turns; row 5 is screened. */
const POINTS = fieldOf(10, {
  t_s: [0.5, 0.6, 1.5, 1.6, 2.5, 2.6, 3.5, 3.6, 4.5, 4.6],
  machine: [0, 1, 0, 1, 0, 1, 0, 1, 0, 1],
  screened_by: [0, 0, 0, 0, 0, 5, 0, 0, 0, 0],
});

const maskOf = (...rows: number[]) => Uint8Array.from({ length: 10 }, (_, i) => (rows.includes(i) ? 1 : 0));
const rowsOut = (exclusions: Parameters<typeof excludedByHand>[1]) =>
  Array.from(excludedByHand(POINTS, exclusions, FRAME), (out, i) => (out ? i : -1)).filter((i) => i >= 0);

describe('what can be left out of a selection', () => {
  it('is a machine’s stretch of time, with what the map loses by it', () => {
    const offer = offerOfSelection(POINTS, maskOf(2, 4, 6), FRAME, SEASON);
    expect(offer).toMatchObject({
      points: 3,
      mass_kg: 60,
      words: 'what combine 1 cut in one stretch of time',
    });
    expect(offer?.exclusions).toEqual([
      { field: 'Home', machine: 'c1', from: '2026-09-01T10:00:01.499Z', to: '2026-09-01T10:00:03.501Z' },
    ]);
    expect(rowsOut(offer?.exclusions ?? [])).toEqual([2, 4, 6]);
  });

  it('is a stretch for each machine and each break', () => {
    const offer = offerOfSelection(POINTS, maskOf(0, 2, 5, 6, 8), FRAME, SEASON);
    // row 5 is not on the map
    expect(offer).toMatchObject({ points: 4, mass_kg: 80 });
    expect(offer?.words).toBe('what combine 1 and combine 2 cut in 3 stretches of time');
    expect(rowsOut(offer?.exclusions ?? [])).toEqual([0, 2, 5, 6, 8]);
  });

  it('is the line drawn around the rows where there is one', () => {
    const mask = maskOf(1, 2, 3);
    const line = [
      [-92.99995, 41.9],
      [-92.99965, 41.9],
      [-92.99965, 42.1],
      [-92.99995, 42.1],
    ] as const;
    rememberLine(mask, line);
    const offer = offerOfSelection(POINTS, mask, FRAME, SEASON);
    expect(offer?.exclusions).toEqual([{ field: 'Home', around: line }]);
    expect(rowsOut(offer?.exclusions ?? [])).toEqual([1, 2, 3]);
    expect(exclusionWords(offer?.exclusions[0] ?? {}, SEASON)).toBe(
      'Ground inside a line of 4 corners in Home',
    );
  });

  it('is nothing without a selection, and too much in too many pieces', () => {
    expect(offerOfSelection(POINTS, null, FRAME, SEASON)).toBeNull();
    expect(offerOfSelection(POINTS, maskOf(), FRAME, SEASON)).toBeNull();
    expect(offerOfSelection(POINTS, new Uint8Array(3).fill(1), FRAME, SEASON)).toBeNull();
    const many = fieldOf(60);
    const everyOther = Uint8Array.from({ length: 60 }, (_, i) => i % 2);
    expect(offerOfSelection(many, everyOther, FRAME, SEASON)).toMatchObject({ exclusions: [], points: 30 });
  });

  it('is what anybody cut in a chosen time', () => {
    const offer = offerOfSpan(POINTS, { start_s: 1, end_s: 3 }, FRAME);
    expect(offer).toMatchObject({ points: 3, mass_kg: 60 });
    expect(rowsOut(offer?.exclusions ?? [])).toEqual([2, 3, 4, 5]);
    expect(exclusionWords(offer?.exclusions[0] ?? {}, SEASON)).toBe(
      'What was cut in Home, 2026-09-01 10:00:00 to 2026-09-01 10:00:03',
    );
    expect(offerOfSpan(POINTS, { start_s: 100, end_s: 300 }, FRAME)).toBeNull();
    expect(offerOfSpan(POINTS, null, FRAME)).toBeNull();
  });
});

describe('lines drawn by hand', () => {
  it('are kept for the mask they made, thinned, and not for others', () => {
    const circle = Array.from({ length: 500 }, (_, k) => [Math.cos(k / 80), Math.sin(k / 80)] as const);
    const mask = maskOf(1);
    rememberLine(mask, circle);
    expect(lineAround(mask)?.length).toBeLessThanOrEqual(120);
    expect(lineAround(maskOf(1))).toBeUndefined();
    const flat = maskOf(2);
    rememberLine(flat, circle.slice(0, 2));
    expect(lineAround(flat)).toBeUndefined();
  });
});
