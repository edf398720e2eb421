import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Season } from '../../core/season.ts';
import { encodeSeason } from '../../core/season-file.ts';
import { MINIMAL_SHEET, seasonOf } from './season-file-fixture.ts';

/** Seasons of any content, with unknown keys among the known. */
const word = fc.string({ minLength: 1, maxLength: 12 }).filter((text) => text.trim() !== '');
const file = fc
  .array(fc.stringMatching(/^[a-z0-9][a-z0-9 _-]{0,7}$/), { minLength: 1, maxLength: 3 })
  .map((steps) => steps.join('/'));
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const machine = fc.record(
  {
    id: word,
    name: word,
    header: fc.record(
      { width_m: between(2, 12), rows: fc.integer({ min: 8, max: 16 }) },
      { requiredKeys: ['width_m'] },
    ),
    paddle: fc.record(
      {
        pitch_mm: between(150, 300),
        width_mm: between(100, 400),
        depth_mm: between(90, 200),
        thickness_mm: between(3, 20),
        count: fc.integer({ min: 20, max: 100 }),
      },
      { requiredKeys: ['pitch_mm', 'width_mm', 'depth_mm', 'thickness_mm'] },
    ),
    beam: fc.record(
      { above_lower_shaft_mm: between(500, 2500), from_back_mm: between(10, 90) },
      { requiredKeys: [] },
    ),
    painted: fc.jsonValue(),
  },
  { requiredKeys: ['id', 'name', 'header'] },
);
const season = fc
  .record(
    {
      name: word,
      units: fc.constantFrom('us' as const, 'metric' as const),
      machines: fc.uniqueArray(machine, { minLength: 1, maxLength: 3, selector: (sheet) => sheet.id }),
      fields: fc.uniqueArray(
        fc.record(
          {
            name: word,
            crop: fc.constantFrom('corn', 'wheat', 'Winter wheat'),
            boundary: file,
            standard_moisture_pct: between(8, 20),
          },
          { requiredKeys: ['name', 'crop'] },
        ),
        { maxLength: 4, selector: (sheet) => sheet.name },
      ),
      files: fc.uniqueArray(file, { minLength: 1, maxLength: 4 }),
      tickets: fc.uniqueArray(file, { maxLength: 2 }),
      remarks: fc.jsonValue(),
    },
    { requiredKeys: ['name', 'machines', 'fields', 'files'] },
  )
  .map(({ files, ...rest }) => ({
    format: 'sheaflight-season/1' as const,
    ...rest,
    logs: [{ machine: rest.machines[0].id, files }],
  }));

describe('encodeSeason', () => {
  it('decode ∘ encode is the identity, unknown keys and order of keys included', () => {
    fc.assert(
      fc.property(season, (sheet) => {
        const text = encodeSeason(sheet as unknown as Season);
        const back = seasonOf(text);
        expect(encodeSeason(back)).toBe(text);
        expect(JSON.stringify(back)).toBe(JSON.stringify(sheet));
      }),
      { numRuns: 200, seed: 20260922 },
    );
  });

  it('writes two-space JSON with a newline at the end', () => {
    const text = encodeSeason(seasonOf(MINIMAL_SHEET));
    expect(text.endsWith('}\n')).toBe(true);
    expect(text.split('\n')[1]).toBe('  "format": "sheaflight-season/1",');
  });

  it('refuses a number that JSON cannot hold', () => {
    const sheet = seasonOf(MINIMAL_SHEET);
    const broken = { ...sheet, settings: { point_interval_s: Number.NaN } };
    expect(() => encodeSeason(broken)).toThrow(
      new RangeError('a season cannot hold the number NaN (key "point_interval_s")'),
    );
  });
});
