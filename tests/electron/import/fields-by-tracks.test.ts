/** Two fields in one log that was cut into pieces, and nothing drawn: fields are found by their tracks, totals stay. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runSeason } from '../../../electron/host/run-season.ts';
import { type SimulatedSeason, scene, simulate } from '../../synthetic/index.ts';
import { Random } from '../../synthetic/random.ts';
import { command, imported, Scratch } from './import-fixture.ts';

const text = (bytes: Uint8Array): string => new TextDecoder('latin1').decode(bytes);

/** Two fields, 900 m apart, worked one after the other by a machine whose logger was switched off between. */
function twoFields(): SimulatedSeason {
  const corners: [number, number][] = [
    [-70, -90],
    [75, -95],
    [70, 90],
    [-75, 85],
  ];
  return simulate(
    scene('two fields')
      .seed(9)
      .units('us')
      .field({ name: 'Alder Bank', corners, boundary: 'none', passes: { headland_laps: 1 } })
      .field({
        name: 'Sand Knoll',
        corners,
        lon0: -93.489,
        start_utc: '2026-10-08T15:30:00Z',
        boundary: 'none',
        passes: { headland_laps: 1, heading_deg: 60 },
      })
      .machine({ logger: { start_tick_us: 2 ** 32 - 600e6 } })
      .loads({ load_t: 4 }),
  );
}

async function totals(folder: string) {
  const run = await runSeason(folder, () => undefined);
  if (!run.ok) throw new Error(run.error.text);
  return run.value.result.summary.fields;
}

describe('fields that nobody has drawn', () => {
  let scratch: Scratch;
  let season: SimulatedSeason;
  let kept: Awaited<ReturnType<typeof totals>>;

  beforeAll(async () => {
    scratch = new Scratch();
    season = twoFields();
    kept = await totals(scratch.write('kept', season.files));
  });

  afterAll(() => scratch.remove());

  /** Into a season that knows the machine and nothing else. */
  async function importAll(name: string, files: [string, string | Uint8Array][]) {
    const { machines, format, units } = scratch.sheet('kept');
    const sheet = { format, name, units, machines, fields: [], logs: [] };
    const folder = scratch.write(name, [['season.json', JSON.stringify(sheet)]]);
    return { folder, report: await imported(folder, scratch.write(`${name}-stick`, files)) };
  }

  function expectSame(found: typeof kept, most: number) {
    expect(found.map(({ name }) => name).sort()).toEqual(['Alder Bank', 'Sand Knoll']);
    for (const field of kept) {
      const same = found.find(({ name }) => name === field.name);
      for (const key of ['area_ha', 'mass_wet_kg', 'mass_std_kg'] as const) {
        expect(Math.abs((same?.[key] ?? Number.NaN) / field[key] - 1), `${field.name} ${key}`).toBeLessThan(
          most,
        );
      }
    }
  }

  const log = () =>
    text(season.files.get('logs/c1-alder-bank.log') as Uint8Array) +
    text(season.files.get('logs/c1-sand-knoll.log') as Uint8Array);
  const tickets = () => season.files.get('tickets/tickets.csv') as Uint8Array;

  it('are two in one file, named by the tickets of their time', async () => {
    const { folder, report } = await importAll('one', [
      ['LOG.TXT', log()],
      ['tickets.csv', tickets()],
    ]);
    expect(report.files[0].fields).toEqual(['Alder Bank', 'Sand Knoll']);
    expect(report.files[0].days).toEqual(['2026-10-06', '2026-10-08']);
    expectSame(await totals(folder), 1e-4);
  });

  it('stay the same when the log is cut into pieces whose names say nothing', async () => {
    const lines = log().split('\n');
    const random = new Random(4, 'cuts');
    const cuts = Array.from({ length: 11 }, () => random.integer(lines.length)).sort((a, b) => a - b);
    const pieces = [0, ...cuts].map((from, k) => lines.slice(from, cuts[k] ?? lines.length).join('\n'));
    const files = pieces.map((piece, k): [string, string] => [`${String((k * 5) % 12)}.DAT`, `${piece}\n`]);
    const { folder, report } = await importAll('pieces', [...files, ['tickets.csv', tickets()]]);
    expect(report.files.filter(({ outcome }) => outcome === 'imported')).toHaveLength(13);
    expect(report.gaps).toEqual([]);
    expectSame(await totals(folder), 1e-4);
  });

  it('are called by their days without tickets, and take a surveyed boundary when one comes', async () => {
    const { folder } = await importAll('bare', [['LOG.TXT', log()]]);
    const names = () => scratch.sheet('bare').fields.map(({ name }) => name);
    expect(names()).toEqual(['Field 1 (2026-10-06)', 'Field 2 (2026-10-08)']);
    const ring = [
      [-93.502, 41.998],
      [-93.498, 41.998],
      [-93.498, 42.002],
      [-93.502, 42.002],
      [-93.502, 41.998],
    ];
    const surveyed = {
      type: 'Feature',
      properties: { name: 'Alder Bank' },
      geometry: { type: 'Polygon', coordinates: [ring] },
    };
    await imported(folder, scratch.write('survey', [['a.geojson', JSON.stringify(surveyed)]]));
    expect(names()).toEqual(['Alder Bank', 'Field 2 (2026-10-08)']);
    expect(scratch.sheet('bare').fields[0]).toMatchObject({
      boundary: 'boundaries/a.geojson',
      unconfirmed: ['crop'],
    });
    expect((await command('check', folder)).code).toBe(0);
  });
});
