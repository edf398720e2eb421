import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { AskedHost, refusal } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();

const SQUARE: [number, number][] = [
  [-93.6, 42],
  [-93.599, 42],
  [-93.599, 42.001],
  [-93.6, 42.001],
];
const BOW = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]];

describe('a boundary drawn on the map', () => {
  async function opened() {
    const folder = join(asked.scratch, 'small');
    smallSeason(folder);
    const open = await asked.reply('openSeason', {}, { folder });
    const draw = (revision: string, rings: [number, number][][], field = 'Home') =>
      asked.reply('drawBoundary', { season: open.season }, { revision, field, rings });
    return { ...open, boundaries: join(folder, 'boundaries'), draw };
  }

  it('is a new file each time, one named step of the history, and undone by one', async () => {
    const { season, revision, boundaries, draw } = await opened();
    const first = await draw(revision, [SQUARE]);
    expect(first.document.fields[0].boundary).toBe('boundaries/Home drawn.geojson');
    expect(first.history.entries.at(-1)?.name).toBe('Boundary of Home drawn on the map');
    const text = readFileSync(join(boundaries, 'Home drawn.geojson'), 'utf8');
    expect(JSON.parse(text).geometry).toEqual({ type: 'Polygon', coordinates: [[...SQUARE, SQUARE[0]]] });
    const second = await draw(first.revision, [SQUARE.map(([lon, lat]) => [lon, lat + 0.001])]);
    expect(second.document.fields[0].boundary).toBe('boundaries/Home drawn-2.geojson');
    expect(second.document.files?.map(({ path }) => path)).toEqual([
      'boundaries/Home drawn.geojson',
      'boundaries/Home drawn-2.geojson',
    ]);
    const undone = await asked.reply('undo', { season }, { revision: second.revision });
    expect(undone.document.fields[0].boundary).toBe('boundaries/Home drawn.geojson');
    expect(readFileSync(join(boundaries, 'Home drawn.geojson'), 'utf8')).toBe(text);
    expect(readdirSync(boundaries)).toHaveLength(2);
  });

  it('is refused with a sentence when it crosses itself, names no field, or was drawn on another state', async () => {
    const { season, revision, boundaries, draw } = await opened();
    const body = { revision, field: 'Home', rings: [BOW] };
    expect(await refusal(asked.ask('drawBoundary', { season }, body))).toMatchObject({
      status: 422,
      text: expect.stringMatching(/crosses itself at 42\.000500, -93\.599500/),
    });
    await expect(draw(revision, [SQUARE], 'Hoome')).rejects.toThrow(/did you mean \\"Home\\"/);
    await expect(draw('other', [SQUARE])).rejects.toThrow(/stale_revision/);
    expect(readdirSync(boundaries)).toEqual([]);
  });
});
