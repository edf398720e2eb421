import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { main } from '../../electron/command/main.ts';
import { diskLayer, type FileLayer } from '../../electron/host/file-layer.ts';
import { TOP } from '../structure/source-files.ts';

const COMMAND = join(TOP, 'electron/command/sheaflight.mjs');
const SAMPLES = join(TOP, 'sample-data');
const SAMPLE = join(
  SAMPLES,
  readdirSync(SAMPLES).find((name) => existsSync(join(SAMPLES, name, 'season.json'))) ?? '',
);

let scratch: string;
/** A copy of the sample season that a test may spoil. */
let season: string;

beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'sheaflight-command-'));
  if (!existsSync(join(TOP, 'dist/electron/command/main.js'))) throw new Error('run "npm run build" first');
});

afterAll(() => rmSync(scratch, { recursive: true }));

beforeEach(() => {
  season = mkdtempSync(join(scratch, 'season-'));
  cpSync(SAMPLE, season, { recursive: true });
  rmSync(join(season, 'out'), { recursive: true, force: true });
});

/** Runs the real command in a process of its own. */
function command(args: readonly string[], environment: Record<string, string> = {}) {
  const ran = spawnSync(process.execPath, [COMMAND, ...args], {
    encoding: 'utf8',
    env: { ...process.env, ...environment },
    maxBuffer: 1 << 28,
  });
  return { code: ran.status, out: ran.stdout, err: ran.stderr };
}

function sheet(): string {
  return readFileSync(join(season, 'season.json'), 'utf8');
}

function spoil(
  change: (sheet: { machines: { paddle: { pitch_mm: number } }[]; logs: { files: string[] }[] }) => void,
): void {
  const parsed = JSON.parse(sheet());
  change(parsed);
  writeFileSync(join(season, 'season.json'), JSON.stringify(parsed, null, 2));
}

describe('sheaflight: help and mistakes on the command line', () => {
  it('explains itself, and each command', () => {
    expect(command(['--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('build [options] <season-folder>'),
    });
    expect(command(['build', '--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('--all-points'),
    });
    expect(command(['check', '--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('without writing'),
    });
    expect(command(['--version']).out).toBe(
      `${JSON.parse(readFileSync(join(TOP, 'package.json'), 'utf8')).version}\n`,
    );
  });

  it('names the nearest option or command to a mistyped one', () => {
    expect(command(['build', season, '--al-points'])).toEqual({
      code: 2,
      out: '',
      err: `sheaflight: unknown option '--al-points' (Did you mean --all-points?); --help shows all.\n`,
    });
    expect(command(['biuld', season])).toEqual({
      code: 2,
      out: '',
      err: `sheaflight: unknown command 'biuld' (Did you mean build?); --help shows all.\n`,
    });
    expect(existsSync(join(season, 'out'))).toBe(false);
  });

  it('says what is missing', () => {
    expect(command(['build'])).toMatchObject({
      code: 2,
      err: expect.stringContaining(`missing required argument 'season-folder'`),
    });
    expect(command(['build', season, '--out'])).toMatchObject({
      code: 2,
      err: expect.stringContaining(`argument missing`),
    });
    expect(command([])).toMatchObject({ code: 2, err: expect.stringContaining('Usage: sheaflight') });
  });

  it('says how to build when nothing is built', () => {
    const bare = join(scratch, 'bare');
    mkdirSync(join(bare, 'electron/command'), { recursive: true });
    cpSync(COMMAND, join(bare, 'electron/command/sheaflight.mjs'));
    const ran = spawnSync(process.execPath, [join(bare, 'electron/command/sheaflight.mjs'), '--help'], {
      encoding: 'utf8',
    });
    expect(ran.status).toBe(2);
    expect(ran.stderr).toBe(
      'sheaflight is not built yet: run "npm run build" in its folder, then try again.\n',
    );
  });
});

describe('sheaflight build', () => {
  /** Three builds of the untouched sample, each elsewhere in the world, each with other options. */
  let auckland: ReturnType<typeof command>;
  let newYork: ReturnType<typeof command>;
  let cairo: ReturnType<typeof command>;
  const inFolder = (name: string, file: string) => readFileSync(join(scratch, name, file));

  beforeAll(() => {
    const build = (out: string, options: readonly string[], place: Record<string, string>) =>
      command(['build', SAMPLE, '--out', join(scratch, out), ...options], place);
    auckland = build('auckland', [], { TZ: 'Pacific/Auckland', LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8' });
    newYork = build('new-york', ['--quiet'], {
      TZ: 'America/New_York',
      LANG: 'en_US.UTF-8',
      LC_ALL: 'en_US.UTF-8',
    });
    cairo = build('cairo', ['--json', '--all-points'], {
      TZ: 'Africa/Cairo',
      LANG: 'ar_EG.UTF-8',
      LC_ALL: 'ar_EG.UTF-8',
    });
  });

  it('writes points, summary and report, prints totals and files, and nothing on stderr', () => {
    expect(auckland).toMatchObject({ code: 0, err: '' });
    const names = readdirSync(join(scratch, 'auckland'));
    expect(names.sort()).toEqual(['points.geojson', 'report.html', 'summary.json']);
    for (const name of names) expect(auckland.out).toContain(`${join(scratch, 'auckland', name)}\n`);
    expect(auckland.out).toContain('Estimate only. Not a legal-for-trade weight.');
    const summary = JSON.parse(inFolder('auckland', 'summary.json').toString());
    const points = JSON.parse(inFolder('auckland', 'points.geojson').toString());
    expect(points.features).toHaveLength(pointsOf(summary, 'kept'));
    expect(pointsOf(summary, 'kept')).toBeGreaterThan(100);
  });

  it('is the same bytes in any time zone and language', () => {
    for (const file of ['points.geojson', 'summary.json', 'report.html']) {
      expect(inFolder('new-york', file).equals(inFolder('auckland', file))).toBe(true);
    }
    expect(inFolder('cairo', 'summary.json').equals(inFolder('auckland', 'summary.json'))).toBe(true);
    expect(inFolder('cairo', 'report.html').equals(inFolder('auckland', 'report.html'))).toBe(true);
  });

  it('prints nothing with --quiet, summary.json and nothing else with --json', () => {
    expect(newYork).toEqual({ code: 0, out: '', err: '' });
    expect(cairo).toEqual({ code: 0, out: inFolder('cairo', 'summary.json').toString(), err: '' });
  });

  it('closes the mass ledger to 1e-9', () => {
    const ledger = JSON.parse(cairo.out).mass_ledger;
    expect(ledger.length).toBeGreaterThan(0);
    for (const row of ledger) {
      const screened = Object.values<number>(row.screened_kg).reduce((sum, mass_kg) => sum + mass_kg, 0);
      const gone = row.mapped_kg + screened + row.outside_field_kg + row.not_cutting_kg;
      expect(Math.abs(gone - row.beam_kg)).toBeLessThan(1e-9 * row.beam_kg);
    }
  });

  it('adds the screened points with --all-points, each with its rule', () => {
    const { features } = JSON.parse(inFolder('cairo', 'points.geojson').toString());
    expect(features).toHaveLength(pointsOf(JSON.parse(cairo.out), 'total'));
    const rules = features.map(
      ({ properties }: { properties: { kept: boolean; screened_by: string | null } }) =>
        properties.kept ? properties.screened_by : (properties.screened_by ?? 'no reason'),
    );
    expect(new Set(rules)).toContain(null);
    expect(new Set(rules)).toContain('ramp');
    expect(new Set(rules)).not.toContain('no reason');
  });

  it('writes into out/ of the season folder when no other is named, and changes nothing else there', () => {
    const before = readdirSync(season, { recursive: true }).sort();
    const text = sheet();
    expect(command(['build', season, '--quiet'])).toEqual({ code: 0, out: '', err: '' });
    expect(readdirSync(join(season, 'out')).sort()).toEqual([
      'points.geojson',
      'report.html',
      'summary.json',
    ]);
    rmSync(join(season, 'out'), { recursive: true });
    expect(readdirSync(season, { recursive: true }).sort()).toEqual(before);
    expect(sheet()).toBe(text);
  });
});

function pointsOf(
  summary: { fields: { points: { kept: number; total: number } }[] },
  which: 'kept' | 'total',
): number {
  return summary.fields.reduce((sum, field) => sum + field.points[which], 0);
}

describe('sheaflight build: wrong input is one line, exit code 2, and no file', () => {
  function refusal(): string {
    const ran = command(['build', season]);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err.split('\n')).toHaveLength(2);
    expect(existsSync(join(season, 'out'))).toBe(false);
    return ran.err;
  }

  it('no season.json', () => {
    rmSync(join(season, 'season.json'));
    expect(refusal()).toBe(
      `sheaflight: ${season} has no season.json; give the folder that holds it, or write one.\n`,
    );
  });

  it('a comma too many in season.json', () => {
    writeFileSync(join(season, 'season.json'), sheet().replace(/\n\}\s*$/, ',\n}\n'));
    expect(refusal()).toMatch(
      /^sheaflight: season\.json, line \d+, column 1: there is a comma before the closing bracket; remove it\.\n$/,
    );
  });

  it('a pitch in inches', () => {
    spoil((parsed) => {
      parsed.machines[0].paddle.pitch_mm = 8;
    });
    expect(refusal()).toMatch(
      /machines\[0\]\.paddle\.pitch_mm is 8, expected 50 to 600 mm; it looks like inches \(8 in = 203\.2 mm\)\.\n$/,
    );
  });

  it('a path that leaves the folder, and a link that does', () => {
    spoil((parsed) => {
      parsed.logs[0].files[0] = '../secret.log';
    });
    expect(refusal()).toContain('expected a path that stays inside the season folder');
    spoil((parsed) => {
      parsed.logs[0].files[0] = 'logs/link.log';
    });
    writeFileSync(join(scratch, 'secret.log'), '0,1\n');
    symlinkSync(join(scratch, 'secret.log'), join(season, 'logs/link.log'));
    expect(refusal()).toContain(
      'logs/link.log is not in the season folder: it is a link to somewhere outside.',
    );
  });

  it('a log that is not there', () => {
    spoil((parsed) => {
      parsed.logs[0].files[0] = `${parsed.logs[0].files[0].slice(0, -1)}x`;
    });
    expect(refusal()).toMatch(/is not in the season folder; did you mean logs\//);
  });
});

describe('sheaflight build: files of another kind', () => {
  it.each([
    ['tickets/tickets.csv', '%PDF-1.4\n', 'should be text, but looks like a PDF document.'],
    ['season.json', 'PK\u0003\u0004zip', 'should be text, but looks like a zip archive'],
  ])('%s', (path, bytes, words) => {
    writeFileSync(join(season, path), bytes);
    expect(command(['build', season])).toMatchObject({
      code: 2,
      out: '',
      err: expect.stringContaining(words),
    });
  });

  it('does not let a file speak to the terminal', () => {
    const tickets = readFileSync(join(season, 'tickets/tickets.csv'), 'utf8');
    writeFileSync(join(season, 'tickets/tickets.csv'), tickets.replaceAll(/c1/g, '\u001b[31mc9\u0007'));
    const ran = command(['check', season]);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    expect(ran.out + ran.err).not.toMatch(/[\u0007\u001b]/);
    expect(ran.out).toContain('[31mc9');
  });

  it('finds a file whose accents the disk spells otherwise', () => {
    const [log] = JSON.parse(sheet()).logs[0].files as string[];
    renameSync(join(season, log), join(season, 'logs/ma\u0308hen.log'));
    spoil((parsed) => {
      parsed.logs[0].files[0] = 'logs/m\u00e4hen.log';
    });
    expect(command(['build', season, '--quiet'])).toEqual({ code: 0, out: '', err: '' });
  });
});

describe('sheaflight build: trouble while writing', () => {
  /** The command in this process, with another disk under it. */
  async function withDisk(layer: FileLayer) {
    let out = '';
    let err = '';
    const code = await main(['build', season], {
      out: (text) => {
        out += text;
      },
      err: (text) => {
        err += text;
      },
      isTerminal: false,
      layer,
    });
    return { code, out, err };
  }

  /** The real disk, with `room` bytes left on it. */
  function almostFull(room: number): FileLayer {
    let left = room;
    return {
      ...diskLayer,
      openForWriting: async (path) => {
        const file = await diskLayer.openForWriting(path);
        return {
          ...file,
          write: async (bytes) => {
            left -= bytes.length;
            if (left < 0) throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
            await file.write(bytes);
          },
        };
      },
    };
  }

  it('a full disk leaves nothing half-written, and the earlier files as they were', async () => {
    mkdirSync(join(season, 'out'));
    writeFileSync(join(season, 'out/points.geojson'), 'earlier');
    const ran = await withDisk(almostFull(50_000));
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toMatch(
      /^sheaflight: could not write .* the disk is full; free some space or choose another folder with --out\./,
    );
    expect(readdirSync(join(season, 'out'))).toEqual(['points.geojson']);
    expect(readFileSync(join(season, 'out/points.geojson'), 'utf8')).toBe('earlier');
  });

  it('Ctrl-C leaves nothing half-written, and the exit code that shells expect', async () => {
    const ran = await withDisk({
      ...diskLayer,
      openForWriting: (path) => {
        process.emit('SIGINT');
        return diskLayer.openForWriting(path);
      },
    });
    expect(ran).toEqual({
      code: 130,
      out: '',
      err: 'sheaflight: stopped; nothing half-written was left, and earlier files are as they were.\n',
    });
    expect(readdirSync(join(season, 'out'))).toEqual([]);
  });

  it('a fault of our own leaves a report and exit code 3', async () => {
    const ran = await withDisk({
      ...diskLayer,
      namesIn: () => Promise.reject(new RangeError('a mistake of ours')),
    });
    expect(ran.code).toBe(3);
    const path = /A report is in (.*\.txt); /.exec(ran.err)?.[1] ?? '';
    expect(path.startsWith(join(season, 'out'))).toBe(true);
    const text = readFileSync(path, 'utf8');
    expect(text).toContain('RangeError: a mistake of ours');
    expect(text).toContain(`command: sheaflight build ${season}`);
  });
});

describe('sheaflight check', () => {
  it('lists the files and what is odd, and writes nothing', () => {
    const ran = command(['check', season]);
    expect(ran).toMatchObject({ code: 0, err: '' });
    for (const log of JSON.parse(sheet()).logs[0].files)
      expect(ran.out).toMatch(new RegExp(`^${log}: \\d+ lines`, 'm'));
    expect(existsSync(join(season, 'out'))).toBe(false);
  });

  it('lists every fault of the sheet', () => {
    spoil((parsed) => {
      parsed.machines[0].paddle.pitch_mm = 8;
      parsed.logs[0].files[0] = '../a.log';
    });
    const ran = command(['check', season]);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('paddle.pitch_mm is 8');
    expect(ran.out).toMatch(/^X season\.json, line \d+: logs\[0\]\.files\[0\] is the text "\.\.\/a\.log"/);
  });

  it('is content with a sheet that has no logs yet', () => {
    spoil((parsed) => {
      parsed.logs = [];
    });
    expect(command(['check', season])).toMatchObject({
      code: 0,
      out: expect.stringContaining('is sound; it lists no logs yet.'),
    });
  });
});
