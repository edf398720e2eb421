import { PNG } from 'pngjs';
import { describe, expect, it } from 'vitest';
import type { ExportFile, LayerSet, Provenance } from '../../../../core/export/formats/format.ts';
import { cellLayer } from '../../../../core/export/layers/cell-layer.ts';
import { layerField } from '../../../../core/export/layers/layer-field.ts';
import { pointLayer } from '../../../../core/export/layers/point-layer.ts';
import { swathLayer } from '../../../../core/export/layers/swath-layer.ts';
import { zoneLayer } from '../../../../core/export/layers/zone-layer.ts';
import { yieldZones } from '../../../../core/surface/field-zones.ts';
import { surfaceCells } from '../../../../core/surface/surface-cells.ts';
import { planSurface } from '../../../../core/surface/surface-plan.ts';
import { withPngFacts } from '../../../../electron/host/export/png-facts.ts';
import { pngMap } from '../../../../electron/host/export/png-map.ts';
import { makeResult, SEASON } from '../../../core/export/season-fixture.ts';

const PROVENANCE: Provenance = {
  generated_by: 'sheaflight 0.1.0',
  season: SEASON.name,
  inputs: [],
  settings: '{}',
  remarks: ['Estimate only.'],
};

function sets(): LayerSet[] {
  const result = makeResult();
  const field = layerField(SEASON, result, 0);
  const sheet = { method: 'block_mean', cell_m: 12 } as const;
  const plan = planSurface(result.points[0], result.outlines[0], sheet);
  if (!plan.ok) throw new Error(plan.error.text);
  const cells = surfaceCells(plan.value);
  const zones = yieldZones(plan.value.grid, plan.value.cells, cells.yield_kg_m2);
  return [
    {
      stem: 'home-points',
      kind: 'points',
      layers: [pointLayer(field, result, { points: 'kept', units: 'us' })],
    },
    {
      stem: 'home-swaths',
      kind: 'swaths',
      layers: [swathLayer(field, result, { points: 'kept', units: 'us' })],
    },
    { stem: 'home-cells', kind: 'cells', layers: [cellLayer(field, { plan: plan.value, cells }, 'metric')] },
    { stem: 'home-zones', kind: 'zones', layers: [zoneLayer(field, zones, 'metric')] },
  ];
}

async function bytesOf({ pieces }: ExportFile): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const piece of pieces) parts.push(typeof piece === 'string' ? Buffer.from(piece) : piece);
  return Buffer.concat(parts);
}

const SETS = sets();
const CELLS = 2;
const DRAWN = new Map<number, Buffer>();

/** The map of a set; drawing takes a second each. */
async function drawn(k: number): Promise<Buffer> {
  const known = DRAWN.get(k) ?? (await bytesOf((await pngMap.files([SETS[k]], PROVENANCE))[0]));
  DRAWN.set(k, known);
  return known;
}

/** Every so many pixels are looked at; a prime, so that no line of the picture is missed. */
const STRIDE = 31;

/** Share of the pixels that are of these colours, or near. */
function shareOf({ data }: PNG, colours: readonly (readonly number[])[]): number {
  let [count, total] = [0, 0];
  for (let at = 0; at < data.length; at += 4 * STRIDE, total++)
    if (colours.some((colour) => colour.every((part, k) => Math.abs(data[at + k] - part) < 8))) count++;
  return count / total;
}

/** Ends and middle of viridis [van der Walt & Smith 2015], and the sheet's own colours. */
const DARK = [0x44, 0x01, 0x54];
const LIGHT = [0xfd, 0xe7, 0x25];
const PAPER = [0xff, 0xff, 0xff];
const PANEL = [0xf5, 0xf3, 0xef];

describe('maps as PNG', () => {
  it('are one for each field and layer', async () => {
    const files = await pngMap.files(SETS, PROVENANCE);
    expect(files.map(({ name }) => name)).toEqual([
      'home-points.png',
      'home-swaths.png',
      'home-cells.png',
      'home-zones.png',
    ]);
  });

  it.each([0, 1, 2, 3])(
    'are ten inches wide at 300 dots an inch, coloured by yield on white: layer %i',
    async (k) => {
      const bytes = await drawn(k);
      const picture = PNG.sync.read(bytes);
      expect(picture.width).toBe(3000);
      expect(picture.height).toBeGreaterThan(1000);
      expect(picture.height).toBeLessThan(2700);
      expect(shareOf(picture, [PAPER])).toBeGreaterThan(0.2);
      expect(shareOf(picture, [PANEL])).toBeGreaterThan(0.02);
      expect(shareOf(picture, [DARK, LIGHT])).toBeGreaterThan(0.002);
      // nothing is seen through: it is to be printed
      let clear = 0;
      for (let at = 3; at < picture.data.length; at += 4 * STRIDE) if (picture.data[at] !== 255) clear++;
      expect(clear).toBe(0);
      expect(bytes.includes('pHYs')).toBe(true);
      expect(bytes.includes('Estimate only.')).toBe(true);
    },
  );

  it('are the same bytes every time', async () => {
    const [again] = await pngMap.files([sets()[CELLS]], PROVENANCE);
    expect((await bytesOf(again)).equals(await drawn(CELLS))).toBe(true);
  });

  it('leave out fields without a yield', async () => {
    const [points] = SETS;
    const [layer] = points.layers;
    const columns = layer.columns.map((column) =>
      column.kind === 'real' ? { ...column, numbers: column.numbers.map(() => Number.NaN) } : column,
    );
    const bare = {
      ...points,
      layers: [
        { ...layer, columns },
        { ...layer, rows: 0 },
      ],
    };
    expect(await pngMap.files([bare], PROVENANCE)).toEqual([]);
  });

  it('put facts behind the header only of what is a PNG', () => {
    expect(() => withPngFacts(new Uint8Array(40), { dots_per_m: 1, texts: [] })).toThrow(RangeError);
  });
});
