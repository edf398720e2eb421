import { describe, expect, it } from 'vitest';
import type { BoundaryPolygons } from '../../../core/read/boundaries.ts';
import type { Season } from '../../../core/season.ts';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import type { GroundSolution } from '../../../core/track/field-ground.ts';
import { placeNotices } from '../../../core/track/place-check.ts';

const season = { fields: [{ name: 'Home' }, { name: 'Mill' }] } as unknown as Season;

/** A square of 0.01° about a place. */
const boundary = (longitude: number, latitude: number) =>
  ({
    source: 'boundaries/home.geojson',
    polygons: [
      [
        Float64Array.of(-0.005, -0.005, 0.005, -0.005, 0.005, 0.005, -0.005, 0.005).map(
          (x, k) => x + (k % 2 === 0 ? longitude : latitude),
        ),
      ],
    ],
  }) as unknown as BoundaryPolygons;
const fixesAt = (longitude: number, latitude: number) =>
  ({
    fixes: {
      t_s: Float64Array.of(0),
      longitude_deg: Float64Array.of(longitude),
      latitude_deg: Float64Array.of(latitude),
    },
  }) as unknown as MachineRecord;
/** Ground of fields: rows of cutting with the given marks of being outside. */
const ground = (...fields: [field: number, outside: number[], pass?: number][]) =>
  ({
    fields: fields.map(([field, outside, pass = 0]) => ({
      field,
      plots: [{ rows: { pass: Int32Array.from(outside, () => pass) }, outside: Uint8Array.from(outside) }],
    })),
  }) as unknown as GroundSolution;

function said(
  boundaries: readonly (BoundaryPolygons | undefined)[],
  found: GroundSolution,
  record = fixesAt(-93, 42),
) {
  const result = placeNotices(season, [record], boundaries, found);
  return {
    ok: result.ok,
    codes: result.notices.map(({ code, source }) => [code, source]),
    texts: result.notices.map(({ text }) => text),
  };
}

describe('the right place', () => {
  it('is nothing to talk about', () => {
    expect(said([boundary(-93, 42), undefined], ground([0, [0, 0, 0, 0, 1]], [1, [0]]))).toMatchObject({
      ok: true,
      codes: [],
    });
  });

  it('is doubted when more than a fifth was cut outside', () => {
    const { ok, texts } = said([boundary(-93, 42), undefined], ground([0, [0, 0, 1]], [1, [0]]));
    expect(ok).toBe(true);
    expect(texts).toEqual([expect.stringContaining('33 %')]);
  });

  it('is missed by fields that nobody was in, near or far', () => {
    const near = said([boundary(-93, 42.01), undefined], ground([1, [0]]));
    expect(near.codes).toEqual([['field_not_visited', 'Home']]);
    // 0.01° of latitude is 1,111 m at 42° [Karney 2013, WGS84]
    expect(near.texts[0]).toContain('within 1111 m');
    const far = said([boundary(-92, 42), undefined], ground([1, [0]]));
    expect(far.texts[0]).toMatch(/within 82 km of boundaries\/home.geojson \(the fixes lie to the west\)/);
  });

  it('is told apart from a field without logs and one where nothing was cut', () => {
    expect(said([boundary(-93, 42), undefined], ground([0, [0]])).codes).toEqual([
      ['field_not_visited', 'Mill'],
    ]);
    expect(said([boundary(-93, 42), undefined], ground([0, [0]], [1, [0], -1])).codes).toEqual([
      ['nothing_cut', 'Mill'],
    ]);
  });

  it('is nowhere when no field was visited, and that is the end', () => {
    const result = placeNotices(season, [fixesAt(-93, 42)], [boundary(10, 50), boundary(11, 50)], ground());
    expect(result.ok ? '' : result.error.code).toBe('no_ground_in_any_field');
    expect(result.ok ? '' : result.error.text).toContain('Home');
    const lost = placeNotices(
      season,
      [fixesAt(Number.NaN, Number.NaN)],
      [boundary(10, 50), undefined],
      ground(),
    );
    expect(lost.ok ? '' : lost.error.text).toContain('no log holds a position');
  });
});
