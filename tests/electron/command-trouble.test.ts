import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { main } from '../../electron/command/main.ts';
import { diskLayer, type FileLayer } from '../../electron/host/file-layer.ts';
import { almostFullDisk } from './host/spoiled-disk.ts';
import { command, SpoiledSeason } from './spoiled-season.ts';

const season = new SpoiledSeason();

describe('sheaflight build: wrong input is one line, exit code 2, and no file', () => {
  function refusal(): string {
    const ran = command(['build', season.folder]);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err.split('\n')).toHaveLength(2);
    expect(existsSync(season.path('out'))).toBe(false);
    return ran.err;
  }

  it('no season.json', () => {
    rmSync(season.path('season.json'));
    expect(refusal()).toBe(
      `sheaflight: ${season.folder} has no season.json; give the folder that holds it, or write one.\n`,
    );
  });

  it('a comma too many in season.json', () => {
    writeFileSync(season.path('season.json'), season.sheet.replace(/\n\}\s*$/, ',\n}\n'));
    expect(refusal()).toMatch(
      /^sheaflight: season\.json, line \d+, column 1: there is a comma before the closing bracket; remove it\.\n$/,
    );
  });

  it('a pitch in inches', () => {
    season.spoil((parsed) => {
      parsed.machines[0].paddle.pitch_mm = 8;
    });
    expect(refusal()).toMatch(
      /machines\[0\]\.paddle\.pitch_mm is 8, expected 50 to 600 mm; it looks like inches \(8 in = 203\.2 mm\)\.\n$/,
    );
  });

  it('a path that leaves the folder, and a link that does', () => {
    season.spoil((parsed) => {
      parsed.logs[0].files[0] = '../secret.log';
    });
    expect(refusal()).toContain('expected a path that stays inside the season folder');
    season.spoil((parsed) => {
      parsed.logs[0].files[0] = 'logs/link.log';
    });
    writeFileSync(join(season.scratch, 'secret.log'), '0,1\n');
    symlinkSync(join(season.scratch, 'secret.log'), season.path('logs/link.log'));
    expect(refusal()).toContain(
      'logs/link.log is not in the season folder: it is a link to somewhere outside.',
    );
  });

  it('a log that is not there', () => {
    season.spoil((parsed) => {
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
    writeFileSync(season.path(path), bytes);
    expect(command(['build', season.folder])).toMatchObject({
      code: 2,
      out: '',
      err: expect.stringContaining(words),
    });
  });

  it('does not let a file speak to the terminal', () => {
    const tickets = readFileSync(season.path('tickets/tickets.csv'), 'utf8');
    writeFileSync(season.path('tickets/tickets.csv'), tickets.replaceAll(/c1/g, '\u001b[31mc9\u0007'));
    const ran = command(['check', season.folder]);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    expect(ran.out + ran.err).not.toMatch(/[\u0007\u001b]/);
    expect(ran.out).toContain('[31mc9');
  });

  it('finds a file whose accents the disk spells otherwise', () => {
    const [log] = JSON.parse(season.sheet).logs[0].files as string[];
    renameSync(season.path(log), season.path('logs/ma\u0308hen.log'));
    season.spoil((parsed) => {
      parsed.logs[0].files[0] = 'logs/m\u00e4hen.log';
    });
    expect(command(['build', season.folder, '--quiet'])).toEqual({ code: 0, out: '', err: '' });
  });
});

describe('sheaflight build: trouble while writing', () => {
  /** The command in this process, with another disk under it. */
  async function withDisk(layer: FileLayer) {
    let out = '';
    let err = '';
    const code = await main(['build', season.folder], {
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

  it('a full disk leaves nothing half-written, and the earlier files as they were', async () => {
    mkdirSync(season.path('out'));
    writeFileSync(season.path('out/points.geojson'), 'earlier');
    const ran = await withDisk(almostFullDisk(50_000));
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toMatch(
      /^sheaflight: could not write .* the disk is full; free some space or write to another folder\./,
    );
    expect(readdirSync(season.path('out'))).toEqual(['points.geojson']);
    expect(readFileSync(season.path('out/points.geojson'), 'utf8')).toBe('earlier');
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
    expect(readdirSync(season.path('out'))).toEqual([]);
  });

  it('a fault of our own leaves a report and exit code 3', async () => {
    const ran = await withDisk({
      ...diskLayer,
      namesIn: () => Promise.reject(new RangeError('a mistake of ours')),
    });
    expect(ran.code).toBe(3);
    const path = /A report is in (.*\.txt); /.exec(ran.err)?.[1] ?? '';
    expect(path.startsWith(season.path('out'))).toBe(true);
    const text = readFileSync(path, 'utf8');
    expect(text).toContain('RangeError: a mistake of ours');
    expect(text).toContain(`command: sheaflight build ${season.folder}`);
  });
});
