import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { MINIMAL_SHEET } from '../core/season-file-fixture.ts';
import { runCommand } from './command-run.ts';
import { almostFullDisk } from './host/spoiled-disk.ts';

let scratch: string;
let library: string;

beforeEach(() => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-library-')));
  library = join(scratch, 'Documents/Sheaflight');
  vi.stubEnv('HOME', scratch);
  vi.stubEnv('XDG_CONFIG_HOME', join(scratch, 'config'));
  vi.stubEnv('SHEAFLIGHT_HOME', '');
});

afterEach(() => {
  vi.unstubAllEnvs();
  rmSync(scratch, { recursive: true, force: true });
});

const kestrel = () => join(library, 'kestrel-flats-2026');

describe('sheaflight new', () => {
  it('makes a season with what is known', async () => {
    const made = await runCommand([
      'new',
      'Kestrel Flats 2026',
      '--field',
      'Home:corn',
      '--field',
      'Höhe 3: wheat',
      '--header-width',
      '9.144',
    ]);
    expect(made).toEqual({ code: 0, out: `${kestrel()}\n`, err: '' });
    expect(JSON.parse(readFileSync(join(kestrel(), 'season.json'), 'utf8'))).toEqual({
      format: 'sheaflight-season/1',
      name: 'Kestrel Flats 2026',
      units: 'us',
      machines: [{ id: 'c1', name: 'combine 1', header: { width_m: 9.144 } }],
      fields: [
        { name: 'Home', crop: 'corn' },
        { name: 'Höhe 3', crop: 'wheat' },
      ],
      logs: [],
    });
    expect((await runCommand(['check', kestrel()])).code).toBe(0);
  });

  it('says in one line what is wrong', async () => {
    expect((await runCommand(['new', 'Odd', '--field', 'Home'])).err).toBe(
      'sheaflight: --field "Home" is not understood; write it as <name>:<crop>, for example "Home:corn".\n',
    );
    expect((await runCommand(['new', 'Odd', '--header-width', '30'])).err).toBe(
      'sheaflight: The season was not made: machines[0].header.width_m is 30, expected 0.3 to 20 m; it looks like feet (30 ft = 9.144 m).\n',
    );
    for (const args of [
      ['new', 'Odd', '--header-width', '30 ft'],
      ['new', 'Odd', '--units', 'furlongs'],
      ['new'],
      ['new', 'Odd', '--feild', 'x:corn'],
    ]) {
      const { code, err, out } = await runCommand(args);
      expect([code, out, err.trim().split('\n')]).toEqual([
        2,
        '',
        [expect.stringMatching(/^sheaflight: .+; --help shows all\.$/)],
      ]);
    }
    expect(existsSync(library)).toBe(false);
  });
});

describe('sheaflight home', () => {
  it('lists the seasons, and those that cannot be read with their sentence', async () => {
    expect((await runCommand(['home'])).out).toBe(
      `${library}\nNo season is there yet: "sheaflight new <name>" makes one.\n`,
    );
    for (const [path, text] of [
      ['kestrel/season.json', MINIMAL_SHEET],
      [
        'kestrel/cache/season-span.json',
        '{"first_utc": "2026-09-21T14:05:00Z", "last_utc": "2026-10-03T20:00:00Z"}',
      ],
      ['broken/season.json', '{"format": "sheaflight-season/1", }'],
      ['broken/season.json.previous', MINIMAL_SHEET],
    ]) {
      mkdirSync(join(library, path, '..'), { recursive: true });
      writeFileSync(join(library, path), text);
    }
    const listed = await runCommand(['home']);
    expect(listed).toEqual({
      code: 0,
      err: '',
      out: [
        library,
        'X broken  season.json, line 1, column 35: there is a comma before the closing bracket; remove it. The sheet before the last change is sound and can be restored.',
        '  kestrel  Kestrel Flats 2026 (corn; 1 field, 1 log file; 2026-09-21 to 2026-10-03)',
        '',
      ].join('\n'),
    });
    const asJson = JSON.parse((await runCommand(['home', '--json'])).out);
    expect(asJson).toMatchObject({
      folder: library,
      chosen_by: 'default',
      seasons: [{ name: 'broken' }, {}],
    });
  });

  it('remembers another folder', async () => {
    const elsewhere = join(scratch, 'elsewhere');
    expect((await runCommand(['home', '--set', elsewhere])).out).toMatch(new RegExp(`^${elsewhere}\n`));
    expect((await runCommand(['new', 'Kestrel'])).out).toBe(`${elsewhere}/kestrel\n`);
    writeFileSync(join(scratch, 'file'), '');
    expect(await runCommand(['home', '--set', join(scratch, 'file')])).toMatchObject({ code: 2 });
  });
});

describe('sheaflight pack and unpack', () => {
  it('go there and back', async () => {
    await runCommand(['new', 'Kestrel Flats 2026']);
    writeFileSync(join(kestrel(), 'logs/a.log'), '1,1\n');
    const zip = join(scratch, 'mail/kestrel.zip');
    expect(await runCommand(['pack', kestrel(), '--out', zip])).toEqual({
      code: 0,
      out: `${zip}\n`,
      err: '',
    });
    const back = await runCommand(['unpack', zip, '--in', join(scratch, 'other')]);
    expect(back).toEqual({ code: 0, out: `${scratch}/other/kestrel-flats-2026\n`, err: '' });
    expect(readFileSync(join(scratch, 'other/kestrel-flats-2026/logs/a.log'), 'utf8')).toBe('1,1\n');
  });

  it('write over nothing, and leave nothing half-written', async () => {
    await runCommand(['new', 'Kestrel Flats 2026']);
    writeFileSync(join(kestrel(), 'logs/a.log'), '1,1\n'.repeat(100_000));
    const zip = join(scratch, 'kestrel.zip');
    expect(await runCommand(['pack', kestrel(), '--out', zip], almostFullDisk(300))).toMatchObject({
      code: 2,
      err: expect.stringContaining('the disk is full'),
    });
    expect(readdirSync(scratch).sort()).toEqual(['Documents']);
    await runCommand(['pack', kestrel(), '--out', zip]);
    expect((await runCommand(['pack', kestrel(), '--out', zip])).err).toBe(
      `sheaflight: ${zip} is there already; give another name with --out.\n`,
    );
  });

  it('say what is wrong with what they are given', async () => {
    writeFileSync(join(scratch, 'x.zip'), 'no zip');
    expect((await runCommand(['unpack', join(scratch, 'x.zip')])).err).toBe(
      'sheaflight: x.zip is no zip, or its end is missing; nothing was unpacked. Have it sent again.\n',
    );
    expect((await runCommand(['unpack', join(scratch, 'gone.zip')])).err).toBe(
      `sheaflight: There is no file ${scratch}/gone.zip.\n`,
    );
    expect((await runCommand(['pack', join(scratch, 'gone')])).code).toBe(2);
  });
});
