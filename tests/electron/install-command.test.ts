/** `placement` and `beam-check` as somebody at the machine uses them. */
import { mkdtempSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FAULTS } from '../synthetic/session-faults.ts';
import { type FirstLogCase, soundFirstLog } from '../synthetic/sound-session.ts';
import { runCommand } from './command-run.ts';

let scratch: string;

beforeEach(() => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-install-')));
});

afterEach(() => rmSync(scratch, { recursive: true, force: true }));

describe('sheaflight placement', () => {
  const measures = [
    'placement',
    '--depth',
    '3.5in',
    '--width',
    '6in',
    '--pitch',
    '8in',
    '--thickness',
    '3/8in',
  ];

  it('prints the marks and writes a sheet that stands alone', async () => {
    const { code, out, err } = await runCommand([...measures, '--reach-inside', 'none', '--out', scratch]);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain('Above the centre of the lower shaft: 62 in');
    expect(out).toContain("From the outside of the column's back: 1 3/4 in");
    const sheet = readFileSync(join(scratch, 'placement.html'), 'utf8');
    expect(sheet).toContain('Drilling template');
    expect(sheet).not.toMatch(/<script|https?:/);
  });

  it('refuses what is no length, and a depth in the wrong unit, in one sentence', async () => {
    expect((await runCommand([...measures, '--beam', 'wide', '--out', scratch])).err).toBe(
      'sheaflight: wide is no length; write for example 3.5in, 3 1/2in or 89mm.\n',
    );
    const { code, err } = await runCommand([
      ...measures,
      '--units',
      'metric',
      '--depth',
      '3.5',
      '--out',
      scratch,
    ]);
    expect(code).toBe(2);
    expect(err).toMatch(/depth of the column is given as 3.5 mm/);
  });

  it('tells a mistyped option before the one that is missing because of it', async () => {
    expect((await runCommand(['placement', '--dephth', '3.5in'])).err).toBe(
      "sheaflight: unknown option '--dephth' (Did you mean --depth?); --help shows all.\n",
    );
    const { code, err } = await runCommand(['placement']);
    expect(code).toBe(2);
    expect(err).toBe("sheaflight: required option '--depth <length>' not specified; --help shows all.\n");
  });

  it('says which measures are missing', async () => {
    const { code, err } = await runCommand([
      'placement',
      '--depth',
      '3.5in',
      '--width',
      '6in',
      '--out',
      scratch,
    ]);
    expect(code).toBe(2);
    expect(err).toContain('Pitch and thickness of the paddles are missing');
  });
});

describe('sheaflight beam-check', () => {
  function season({ sheet }: FirstLogCase): string {
    const document = {
      format: 'sheaflight-season/1',
      name: 'First',
      machines: [
        { id: 'c1', name: 'combine 1', paddle: sheet.paddle, beam: sheet.beam, header: { width_m: 9 } },
      ],
      fields: [],
      logs: [],
    };
    writeFileSync(join(scratch, 'season.json'), JSON.stringify(document));
    return scratch;
  }

  it('of a sound log ends well, and keeps the record with the season', async () => {
    const first = soundFirstLog(4);
    const log = join(scratch, 'first.log.gz');
    writeFileSync(log, gzipSync(first.bytes));
    const { code, out, err } = await runCommand(['beam-check', log, '--season', season(first)]);
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(/^All that this log can tell is well\./);
    expect(out).toMatch(/\? {2}Paddles counted by hand: the log shows \d+ paddles; say how many/);
    expect(readFileSync(join(scratch, 'out/beam-check.html'), 'utf8')).toContain('combine 1');
  });

  it('ends with 1 where something has to be mended, and says what first', async () => {
    const first = FAULTS.find(({ name }) => name === 'connector opens')?.make(3);
    if (first === undefined) throw new Error('no such fault');
    const log = join(scratch, 'first.log');
    writeFileSync(log, first.bytes);
    const { code, out } = await runCommand(['beam-check', log, '--season', season(first), '--json']);
    expect(code).toBe(1);
    const { verdict, causes } = JSON.parse(out);
    expect([verdict, causes[0]]).toEqual(['mend', 'loose_connector']);
  });

  it('refuses a file that is not there, and one that is no log', async () => {
    const paddles = ['--pitch', '8in', '--thickness', '3/8in'];
    expect(await runCommand(['beam-check', join(scratch, 'no.log'), ...paddles])).toMatchObject({
      code: 2,
      err: `sheaflight: ${join(scratch, 'no.log')}: no such file; check its name.\n`,
    });
    const photo = join(scratch, 'photo.jpg');
    writeFileSync(photo, Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70));
    expect((await runCommand(['beam-check', photo, ...paddles])).err).toContain(
      'photo.jpg is not a logger file',
    );
  });
});
