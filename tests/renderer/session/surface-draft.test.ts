import { describe, expect, it } from 'vitest';
import { applyEdit } from '../../../core/edits.ts';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { cellSettings, changeBetween, changedSheet } from '../../../renderer/session/surface-draft.ts';
import { SEASON } from './stand-in-host.ts';

const MODEL = { nugget: 0.01, partial_sill: 0.2, range_m: 40 };

describe('settings of surfaces that are tried', () => {
  const from: SurfaceSheet = { cell_m: 10, model: MODEL, shape: 'spherical', classes: { count: 4 } };

  it('are the sheet with the change on top, and empty parts go', () => {
    expect(changedSheet(from, { cell_m: null, classes: { count: null } })).toEqual({
      model: MODEL,
      shape: 'spherical',
    });
  });

  it('are kept by a change that the season’s own edit makes the same of', () => {
    const to: SurfaceSheet = {
      model: { ...MODEL, nugget: 0 },
      shape: 'spherical',
      classes: { method: 'user', limits_kg_m2: [0.3, 0.5] },
    };
    const change = changeBetween(from, to);
    expect(change).toEqual({
      cell_m: null,
      model: { nugget: 0 },
      classes: { count: null, method: 'user', limits_kg_m2: [0.3, 0.5] },
    });
    const edited = applyEdit({ ...SEASON, settings: { surface: from } }, { kind: 'set_surface', change });
    expect(edited.ok && edited.value.season.settings?.surface).toEqual(to);
  });

  it('are no change when they are the same, in whatever order', () => {
    expect(changeBetween(from, { classes: { count: 4 }, shape: 'spherical', model: MODEL, cell_m: 10 })).toBe(
      null,
    );
  });

  it('make other cells only where more than classes and zones differ', () => {
    expect(cellSettings({ ...from, zones: { tolerance_m: 1 } })).toEqual({
      cell_m: 10,
      model: MODEL,
      shape: 'spherical',
    });
  });
});
