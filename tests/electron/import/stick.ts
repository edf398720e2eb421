/** A simulated season scattered over forty files, as they come home on a stick after three weeks. */
import { gunzipSync, gzipSync } from 'fflate';
import { damaged } from '../../synthetic/file-damage.ts';
import { type Scene, type SimulatedSeason, scene, simulate } from '../../synthetic/index.ts';
import { Random } from '../../synthetic/random.ts';
import { DEFAULT_DAMAGE } from '../../synthetic/scene-defaults.ts';
import { zippedShapefile } from './made-shapefile.ts';

/** Two fields of two crops, three machines' logs in many pieces, one of them with beam and fixes apart. */
export function stickScene(): Scene {
  return scene('stick')
    .seed(5)
    .field({
      name: 'Heron Flat',
      crop: 'corn',
      lon0: -94.2,
      lat0: 42.3,
      corners: [
        [-95, -120],
        [90, -125],
        [100, 115],
        [-90, 120],
      ],
      start_utc: '2026-10-06T14:20:00Z',
      passes: { headland_laps: 1 },
    })
    .field({
      name: 'Mill Rise',
      crop: 'soybeans',
      lon0: -94.17,
      lat0: 42.31,
      corners: [
        [-80, -110],
        [100, -100],
        [80, 120],
        [-100, 90],
      ],
      start_utc: '2026-10-19T16:05:00Z',
      yield_t_ha: 3.6,
      moisture_pct: 12.4,
      passes: { headland_laps: 1, heading_deg: 80 },
    })
    .machine({ logger: { split_min: [7, 14, 21, 28, 35, 42] } })
    .machine({
      id: 'c2',
      name: 'combine 2',
      paddle: { pitch_mm: 165.6, width_mm: 240, depth_mm: 160, thickness_mm: 9, count: 72 },
      logger: { start_tick_us: 3_100_000_000, files: 'beam_and_fixes', split_min: [25] },
      receiver: { talker: 'GN' },
    })
    .damage({
      bad_checksums: 4,
      half_lines: 3,
      swapped_lines: 4,
      repeated_lines: 4,
      missing_edges: 4,
    })
    .loads({ load_t: 3 });
}

export interface Stick {
  readonly season: SimulatedSeason;
  /** Path on the stick → content. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** Files that bring nothing new: names by what they are. */
  readonly twice: readonly string[];
  readonly useless: readonly string[];
}

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const text = (bytes: Uint8Array): string => new TextDecoder('latin1').decode(bytes);
const latin1 = (content: string): Uint8Array => Uint8Array.from(content, (letter) => letter.charCodeAt(0));

/** The season's files under names that say nothing, in an order that says nothing, with what else lies on a stick. */
export function makeStick(): Stick {
  const season = simulate(stickScene());
  const random = new Random(3, 'stick');
  const files = new Map<string, Uint8Array>();
  const twice: string[] = [];
  const logs = [...season.files].filter(([path]) => path.startsWith('logs/'));
  const shuffled = logs
    .map((entry) => ({ entry, at: random.uniform() }))
    .sort((a, b) => a.at - b.at)
    .map(({ entry }) => entry);
  shuffled.forEach(([path, bytes], k) => {
    const folder = path.startsWith('logs/c1') ? 'combine 1' : 'Combine_2';
    const plain = path.endsWith('.gz') ? gunzipSync(bytes) : bytes;
    const name = `${folder}/DATA${String(1000 - 7 * k).padStart(4, '0')}.TXT`;
    files.set(k % 4 === 1 ? `${name}.gz` : name, k % 4 === 1 ? gzipSync(plain) : plain);
    if (k % 5 === 0) {
      twice.push(`${folder}/old/copy of ${k}.log`);
      files.set(twice.at(-1) as string, plain);
    } else if (k % 5 === 1) {
      // copied while the machine still worked: its beginning only
      twice.push(`noon/${folder} ${k}.log`);
      files.set(twice.at(-1) as string, plain.slice(0, Math.floor(plain.length * 0.6)));
    } else if (k % 5 === 2) {
      twice.push(`broken/${folder} ${k}.log`);
      files.set(twice.at(-1) as string, spoilt(plain, random));
    }
  });
  addTickets(files, season, twice);
  addBoundaries(files, season);
  const useless = addRubbish(files);
  return { season, files, twice, useless };
}

function spoilt(plain: Uint8Array, random: Random): Uint8Array {
  const lines = text(plain)
    .split('\n')
    .map((line) => `${line}\n`);
  const spec = { ...DEFAULT_DAMAGE, half_lines: 12, nul_runs: 2, bad_checksums: 6 };
  const counts = {
    lines: 0,
    lostInRestarts: 0,
    repeated: 0,
    swapped: 0,
    badChecksums: 0,
    half: 0,
    joined: 0,
    nulRuns: 0,
    overwrittenByNul: 0,
    truncatedEnds: 0,
  };
  return latin1(damaged(lines, spec, random, counts, '\n').join(''));
}

/** Two exports of the same scale: the second has a ticket of the first again; a third is an older one, all of it known. */
function addTickets(files: Map<string, Uint8Array>, season: SimulatedSeason, twice: string[]): void {
  const lines = text(season.files.get('tickets/tickets.csv') as Uint8Array)
    .trim()
    .split('\n');
  const half = Math.ceil(lines.length / 2);
  const part = (rows: readonly string[]) => utf8(`${[lines[0], ...rows].join('\n')}\n`);
  files.set('office/scale october.csv', part(lines.slice(1, half)));
  files.set('office/scale later.csv', part(lines.slice(half - 1)));
  files.set('office/scale (1).csv', part(lines.slice(2, half)));
  twice.push('office/scale (1).csv');
}

/** One field as GeoJSON; the other zipped, its crop beside its name, with a third that nobody has harvested. */
function addBoundaries(files: Map<string, Uint8Array>, season: SimulatedSeason): void {
  files.set(
    'office/heron flat corn.geojson',
    season.files.get('boundaries/heron-flat.geojson') as Uint8Array,
  );
  const json = JSON.parse(text(season.files.get('boundaries/mill-rise.geojson') as Uint8Array));
  const ring: [number, number][] = json.features[0].geometry.coordinates[0];
  const far = ring.map(([x, y]): [number, number] => [x + 0.2, y]);
  files.set(
    'office/fields.zip',
    zippedShapefile([
      { rings: [[...ring].reverse()], attributes: { FIELD_NAME: 'Mill Rise', CROP: 'Soybeans' } },
      { rings: [far.reverse()], attributes: { FIELD_NAME: 'Not yet', CROP: 'Soybeans' } },
    ]),
  );
}

function addRubbish(files: Map<string, Uint8Array>): string[] {
  const rubbish: Readonly<Record<string, Uint8Array>> = {
    'combine 1/IMG_0042.JPG': Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, ...new Uint8Array(400).fill(7)),
    'README.txt': utf8('Logs of both machines.\nCall me when you are done.\n'),
    'combine 1/EMPTY.TXT': new Uint8Array(),
    'Combine_2/NUL.TXT': new Uint8Array(5000),
    'office/notes.json': utf8('{"remember": "the milk"}'),
  };
  for (const [name, bytes] of Object.entries(rubbish)) files.set(name, bytes);
  return Object.keys(rubbish);
}
