import { describe, expect, it } from 'vitest';
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import type { VariogramModel } from '../../../core/surface/variogram-model.ts';
import type { ShownSurface } from '../../../renderer/session/shown-surface.ts';
import { classWords, nextLimit } from '../../../renderer/steps/surface/class-form.tsx';
import { modelInUse } from '../../../renderer/steps/surface/model-form.tsx';
import { triedWords } from '../../../renderer/steps/surface/surface-tried.tsx';
import { handlePlace, modelMoved } from '../../../renderer/steps/surface/variogram-handles.ts';

const MODEL: VariogramModel = { shape: 'exponential', nugget: 1, partial_sill: 3, range_m: 20 };

describe('handles of the variogram', () => {
  it('stand where 5 % of an exponential model is left: 3 times its range, nearly', () => {
    // exp(−h/a) = 0.05 at h = a ln 20
    expect(handlePlace(MODEL, 'range')).toBeCloseTo(20 * Math.log(20), 6);
    expect(handlePlace(MODEL, 'sill')).toBe(4);
  });

  it('move one thing each, and stand where they were put', () => {
    const wider = modelMoved(MODEL, 'range', 90);
    expect(handlePlace(wider, 'range')).toBeCloseTo(90, 6);
    expect(wider).toMatchObject({ nugget: 1, partial_sill: 3 });
    expect(modelMoved(MODEL, 'nugget', 2)).toMatchObject({ nugget: 2, partial_sill: 2 });
    expect(modelMoved(MODEL, 'sill', 7)).toMatchObject({ nugget: 1, partial_sill: 6 });
  });

  it('leave a model that can be used', () => {
    expect(modelMoved(MODEL, 'nugget', 9)).toMatchObject({ nugget: 3.96 });
    expect(modelMoved(MODEL, 'nugget', -1)).toMatchObject({ nugget: 0, partial_sill: 4 });
    expect(modelMoved(MODEL, 'sill', 0).partial_sill).toBeGreaterThan(0);
    expect(modelMoved(MODEL, 'range', -5).range_m).toBeGreaterThan(0);
  });
});

describe('the model in use', () => {
  const details = {
    model: MODEL,
    candidates: [
      { model: MODEL, explained: 0.9 },
      { model: { ...MODEL, shape: 'spherical' }, explained: 0.8 },
    ],
  } as unknown as SurfaceReply;

  it('is the best, or the best of a shape, or the one entered', () => {
    expect(modelInUse({}, details)).toBe(MODEL);
    expect(modelInUse({ shape: 'spherical' }, details)?.shape).toBe('spherical');
    const { shape: _, ...numbers } = { ...MODEL, nugget: 2 };
    expect(modelInUse({ model: numbers }, details)).toMatchObject({ shape: 'exponential', nugget: 2 });
  });
});

describe('words for classes and for what is tried', () => {
  const shown = (yield_kg_m2: number | null) => ({ number: String(yield_kg_m2), unit: 'kg/m²' });

  it('tell the ends and the middle of classes', () => {
    const words = [0, 1, 2].map((k) => classWords([0.4, 0.6], k, shown));
    expect(words).toEqual(['below 0.4 kg/m²', '0.4 to 0.6 kg/m²', '0.6 kg/m² and more']);
    expect(classWords([], 0, shown)).toBe('all');
  });

  it('a new limit is as far above the last as that above the one before', () => {
    expect(nextLimit([0.4, 0.6])).toBeCloseTo(0.8, 12);
    expect(nextLimit([])).toBeGreaterThan(0);
  });

  it('tell cells and errors against those kept', () => {
    const surface = (cells: number, rmse_kg_m2: number) =>
      ({ details: { cells, cross_validation: { rmse_kg_m2 } } }) as unknown as ShownSurface;
    const own = surface(2000, 0.05);
    expect(triedWords(own, surface(500, 0.06), shown)).toBe(
      '500 cells instead of 2,000; passes left out are foretold within 0.06 instead of 0.05 kg/m².',
    );
    expect(triedWords(own, surface(2000, 0.05), shown)).toContain('2,000 cells as before');
    expect(triedWords(own, own, shown)).toContain('only classes and zones change');
    expect(triedWords(null, own, shown)).toBe('2,000 cells; passes left out are foretold within 0.05 kg/m².');
  });
});
