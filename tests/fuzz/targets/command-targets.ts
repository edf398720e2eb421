/** The command on spoilt files on the disk: builds and imports end with 0, 1 or 2, and never with a fault of the program. */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { failure, type Result, success } from '../../../core/errors.ts';
import { SEASON_FILE } from '../../../core/season-file.ts';
import { main } from '../../../electron/command/main.ts';
import { diskLayer } from '../../../electron/host/file-layer.ts';
import { BOUNDARY_WORDS, smallSeason, TABLE_WORDS } from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';
import { shapeZips } from '../packed-corpus.ts';
import { filesBelow, scratchFolder } from '../scratch-folder.ts';
import { filesIn, flows, type SeasonFiles, spoilt, storm, tallies } from '../season-corpus.ts';

interface Ending {
  readonly code: number;
  readonly out: string;
  /** Lines, without the path of the scratch folder. */
  readonly said: readonly string[];
}

/** Runs a command line; throws when it ends with a fault of the program. */
async function command(...args: readonly string[]): Promise<Ending> {
  let out = '';
  let err = '';
  const code = await main(args, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    isTerminal: false,
    layer: diskLayer,
  });
  if (code !== 0 && code !== 1 && code !== 2) throw new Error(`${args[0]} ends with ${code}: ${err}`);
  return { code, out, said: err.replaceAll(scratchFolder(), '').trim().split('\n') };
}

function write(folder: string, files: SeasonFiles): void {
  for (const [path, bytes] of files) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), bytes);
  }
}

const refused = ({ said }: Ending) => failure<unknown>({ code: 'refused', source: 'command', text: said[0] });

/** `sheaflight build` on the season as a folder. */
async function built(files: SeasonFiles): Promise<Result<unknown>> {
  const folder = join(scratchFolder(), 'season');
  const out = join(scratchFolder(), 'out');
  try {
    write(folder, files);
    const ending = await command('build', folder, '--out', out, '--json');
    if (ending.code === 2) return refused(ending);
    return success(JSON.parse(ending.out));
  } finally {
    rmSync(folder, { recursive: true, force: true });
    rmSync(out, { recursive: true, force: true });
  }
}

/** What files on a stick are called. */
const NAMES = [
  'field.log',
  'tickets.csv',
  'outline.geojson',
  'outline.zip',
  'log',
  'a\u202egol.csv',
  'CON.txt',
  '%2e%2e',
  "é'; x.csv",
];

/** `sheaflight import` of a stick with one spoilt file among sound ones into a new season, then `check` and `build`. */
async function imported(bytes: Uint8Array, choice: number): Promise<Result<unknown>> {
  const stick = join(scratchFolder(), 'stick');
  const season = join(scratchFolder(), 'imported');
  const files = new Map([
    ...[...smallSeason()].filter(([path]) => path !== SEASON_FILE),
    [`more/${NAMES[choice % NAMES.length]}`, bytes] as const,
  ]);
  try {
    write(stick, files);
    const ending = await command('import', season, stick, '--machine', 'c1', '--crop', 'corn', '--json');
    for (const [path, original] of files) {
      if (Buffer.compare(readFileSync(join(stick, path)), original) !== 0)
        throw new Error(`${path} was changed`);
    }
    if (filesBelow(stick).length !== files.size) throw new Error('something was put on the stick');
    if (ending.code === 2) return refused(ending);
    const report = JSON.parse(ending.out);
    const checked = await command('check', season);
    const made = await command('build', season, '--out', join(season, 'out'), '--json');
    const codes = [ending.code, checked.code, made.code];
    return success({ codes, files: report.files.length });
  } finally {
    rmSync(stick, { recursive: true, force: true });
    rmSync(season, { recursive: true, force: true });
  }
}

const ON_DISK = { budget_ms: 8000, us_per_byte: 20, share: 0.008, ownMutations: [storm] } as const;

export const COMMAND_TARGETS: readonly FuzzTarget[] = [
  {
    ...ON_DISK,
    name: 'built by command',
    corpus: () => filesIn(flows(), 'logs/'),
    words: TABLE_WORDS,
    free_bytes: 200e6,
    read: (bytes, _, choice) => built(spoilt(flows(), ['logs/', 'tickets/', SEASON_FILE][choice % 3], bytes)),
  },
  {
    ...ON_DISK,
    name: 'imported',
    corpus: () => [
      ...filesIn(flows(), 'logs/'),
      ...filesIn(tallies(), 'logs/'),
      ...filesIn(smallSeason(), 'tickets/'),
      ...filesIn(smallSeason(), 'boundaries/'),
      ...shapeZips(),
    ],
    words: [...TABLE_WORDS, ...BOUNDARY_WORDS],
    read: (bytes, _, choice) => imported(bytes, choice),
  },
];
