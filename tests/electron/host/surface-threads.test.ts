import { describe, expect, it } from 'vitest';
import { surfaceCells } from '../../../core/surface/surface-cells.ts';
import { planSurface } from '../../../core/surface/surface-plan.ts';
import { surfaceOfField } from '../../../electron/host/surface-threads.ts';
import { blockPoints } from '../../core/export/block-points.ts';

const request = {
  points: blockPoints({
    field: 'Home',
    crop: 'corn',
    length_m: 260,
    passes: 14,
    origin: [-93.7, 41.9],
    mean_kg_m2: 1.1,
  }),
  outline: [],
  sheet: { cell_m: 3.5, neighbours: 12 },
};

describe('threads of a surface', () => {
  it('make the same numbers, however many they are', async () => {
    const plan = planSurface(request.points, request.outline, request.sheet);
    if (!plan.ok) throw new Error(plan.error.text);
    const alone = surfaceCells(plan.value);
    // fewer cells would not be shared out at all
    expect(plan.value.cells.length).toBeGreaterThan(2000);
    for (const threads of [1, 3]) {
      const found = await surfaceOfField(request, { threads });
      expect(found.ok && found.value.cells).toEqual(alone);
      expect(found.ok && found.value.plan.cells).toEqual(plan.value.cells);
    }
  });

  it('hand on why there is no surface, and fail on a mistake of ours', async () => {
    const tiny = await surfaceOfField({ ...request, sheet: { cell_m: 0.05 } });
    expect(tiny).toMatchObject({ ok: false, error: { code: 'cells_too_small' } });
    await expect(surfaceOfField(request, { script: '/nowhere/surface-worker.js' })).rejects.toThrow();
  });
});
