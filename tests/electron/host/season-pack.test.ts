import { createHash } from 'node:crypto';
import {
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
import fc from 'fast-check';
import { type Zippable, zipSync } from 'fflate';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { packSeason } from '../../../electron/host/season-pack.ts';
import { unpackSeason } from '../../../electron/host/season-unpack.ts';
import type { UnpackBounds } from '../../../electron/host/zip-entries.ts';
import { MINIMAL_SHEET } from '../../core/season-file-fixture.ts';

let scratch: string;
let season: string;
let home: string;
const LOG = '1000,1\n2000,0\n'.repeat(60_000);

beforeEach(() => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-pack-')));
  season = join(scratch, 'kestrel');
  home = join(scratch, 'home');
  mkdirSync(home);
  put('season.json', MINIMAL_SHEET);
  put('logs/combine.log', LOG);
  put('logs/empty.log', '');
  put('logs/packed.log.gz', 'not really packed');
  put('tickets/tickets.csv', 'ticket,net_kg\n1,1000\n');
  put('boundaries/home.geojson', '{}');
});

afterEach(() => rmSync(scratch, { recursive: true, force: true }));

function put(path: string, content: string): void {
  mkdirSync(join(season, path, '..'), { recursive: true });
  writeFileSync(join(season, path), content);
}

async function packed(): Promise<Buffer> {
  const made = await packSeason(season);
  if (!made.ok) throw new Error(made.error.text);
  expect(made.value.name).toBe('kestrel.zip');
  const pieces: Uint8Array[] = [];
  for await (const piece of made.value.pieces) pieces.push(piece);
  return Buffer.concat(pieces);
}

function unpack(zip: Uint8Array, bounds?: UnpackBounds) {
  writeFileSync(join(scratch, 'given.zip'), zip);
  return unpackSeason(join(scratch, 'given.zip'), home, bounds);
}

async function refusal(zip: Uint8Array | Zippable, bounds?: UnpackBounds): Promise<string> {
  const made = await unpack(zip instanceof Uint8Array ? zip : zipSync(zip), bounds);
  if (made.ok) throw new Error('unpacked, although it should have been refused');
  expect(readdirSync(home)).toEqual([]);
  return made.error.text;
}

const bytes = (text: string) => new TextEncoder().encode(text);
const SHEET = bytes(MINIMAL_SHEET);

describe('packing and unpacking', () => {
  it('gives the same season back', async () => {
    const made = await unpack(await packed());
    expect(made.ok && made.value).toBe(join(home, 'kestrel'));
    const files = (top: string) =>
      readdirSync(top, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name).slice(top.length))
        .sort()
        .map((path) => [path, readFileSync(join(top, path), 'utf8')]);
    expect(files(join(home, 'kestrel'))).toEqual(files(season));
    expect(made.notices).toEqual([]);
  });

  it('makes the same bytes every time, wherever the clock stands, and leaves out what is derived', async () => {
    const first = await packed();
    put('cache/x', 'derived');
    put('out/x', 'derived');
    put('season.lock', '{}');
    put('season.json.previous', '{}');
    put('logs/x.log.999999999.0a1b2c3d.part', 'half');
    const zone = process.env.TZ;
    process.env.TZ = 'Pacific/Auckland';
    const second = await packed();
    process.env.TZ = zone;
    expect(createHash('sha256').update(second).digest('hex')).toBe(
      createHash('sha256').update(first).digest('hex'),
    );
    expect(first.length).toBeLessThan(LOG.length / 20);
  });

  it('takes a name that is free', async () => {
    mkdirSync(join(home, 'Kestrel'));
    const made = await unpack(await packed());
    expect(made.ok && made.value).toBe(join(home, 'kestrel-2'));
  });

  it('takes what another program packed, with or without a folder around it, and leaves out what is foreign', async () => {
    const flat = {
      'season.json': SHEET,
      'logs/a.log': bytes('1,1\n'),
      '.DS_Store': bytes('x'),
      'virus.exe': bytes('x'),
    };
    const made = await unpack(zipSync(flat));
    expect(made.ok && made.value).toBe(join(home, 'kestrel-flats-2026'));
    expect(made.notices.map(({ text }) => text)).toEqual([
      'virus.exe in the zip is no part of a season; it was left out.',
    ]);
    expect(readdirSync(join(home, 'kestrel-flats-2026')).sort()).toEqual([
      'boundaries',
      'logs',
      'season.json',
      'tickets',
    ]);
    const deep = await unpack(
      zipSync({ 'mail/season 26/season.json': SHEET, '__MACOSX/mail/season.json': bytes('') }),
    );
    expect(deep.ok && deep.value).toBe(join(home, 'season 26'));
  });

  it('brings along a file that the sheet lists outside the usual folders', async () => {
    put('combine.log', LOG);
    put('season.json', MINIMAL_SHEET.replace('logs/combine.log', 'combine.log'));
    const made = await unpack(await packed());
    expect(readFileSync(join(made.ok ? made.value : '', 'combine.log'), 'utf8')).toBe(LOG);
  });

  it('tells when a file is not what the sheet has recorded', async () => {
    const record = {
      path: 'logs/a.log',
      sha256: createHash('sha256').update('1,1\n').digest('hex'),
      bytes: 4,
      imported_utc: '2026-10-03T14:05:07Z',
      source_name: 'a.log',
    };
    const sheet = bytes(JSON.stringify({ ...JSON.parse(MINIMAL_SHEET), files: [record] }));
    const same = await unpack(zipSync({ 'season.json': sheet, 'logs/a.log': bytes('1,1\n') }));
    expect(same.ok && same.notices).toEqual([]);
    const other = await unpack(zipSync({ 'season.json': sheet, 'logs/a.log': bytes('1,0\n') }));
    expect(other.ok && other.notices.map(({ code }) => code)).toEqual(['changed_file']);
  });
});

describe('zips that are a trap or damaged', () => {
  it('are refused when a path leads out of the folder', async () => {
    for (const path of [
      '../evil.log',
      'logs/../../evil.log',
      '/etc/evil',
      'C:/evil.log',
      'logs\\..\\..\\evil.log',
    ])
      expect(await refusal({ 'season.json': SHEET, [path]: bytes('x') })).toMatch(
        /leads out of its folder|from the root of the disk/,
      );
    expect(readdirSync(scratch).sort()).toEqual(['given.zip', 'home', 'kestrel']);
  });

  it('are refused when they hold a link', async () => {
    const link: Zippable = {
      'season.json': SHEET,
      'logs/link.log': [bytes('/etc/passwd'), { os: 3, attrs: (0o120777 << 16) >>> 0 }],
    };
    expect(await refusal(link)).toBe(
      'The zip has a link in it (logs/link.log), which a season never has; nothing was unpacked.',
    );
  });

  it('are refused when they would fill the disk', async () => {
    const bomb = { 'season.json': SHEET, 'logs/zeros.log': new Uint8Array(8 << 20) };
    const bounds = { most_times: 200, free_bytes: 1 << 20, most_files: 100 };
    expect(await refusal(bomb, bounds)).toBe(
      'The zip would unpack to 8 MB, far more than a season of its size can; nothing was unpacked.',
    );
    const many = Object.fromEntries(Array.from({ length: 200 }, (_, i) => [`logs/${i}.log`, bytes('')]));
    expect(await refusal({ 'season.json': SHEET, ...many }, bounds)).toMatch(/holds 101 files, far more/);
  });

  it('are refused when an entry is larger than it says', async () => {
    const zip = zipSync({ 'season.json': SHEET, 'logs/zeros.log': new Uint8Array(1 << 20) });
    // The size in the central directory: 24 bytes after its signature [APPNOTE 4.3.12].
    const at = Buffer.from(zip).lastIndexOf(Buffer.from('PK\x01\x02', 'latin1'));
    new DataView(zip.buffer).setUint32(at + 24, 1000, true);
    expect(await refusal(zip)).toBe(
      'logs/zeros.log in the zip is damaged; nothing was unpacked. Have it sent again.',
    );
  });

  it('are refused when a byte is wrong', async () => {
    const zip = Buffer.from(
      zipSync({ 'season.json': SHEET, 'logs/a.log': [bytes('1000,1\n'), { level: 0 }] }),
    );
    zip[zip.indexOf('1000,1')] ^= 1;
    expect(await refusal(zip)).toBe(
      'logs/a.log in the zip is damaged; nothing was unpacked. Have it sent again.',
    );
  });

  it('are refused when two files would be one', async () => {
    expect(await refusal({ 'season.json': SHEET, 'logs/A.log': SHEET, 'logs/a.log': SHEET })).toBe(
      'The zip has logs/a.log twice; nothing was unpacked.',
    );
  });

  it('are refused when they hold no season, several, or one that cannot be read', async () => {
    expect(await refusal({ 'logs/a.log': SHEET })).toContain('holds no season.json');
    expect(await refusal({ 'a/season.json': SHEET, 'b/season.json': SHEET })).toContain('several seasons');
    expect(await refusal({ 'season.json': bytes('{') })).toMatch(
      /^The zip holds a season that cannot be read; nothing was unpacked\. season\.json, line 1/,
    );
    expect(await refusal(bytes('no zip at all'))).toBe(
      'given.zip is no zip, or its end is missing; nothing was unpacked. Have it sent again.',
    );
  });

  it('never crash, hang or leave something, whatever bytes are changed', async () => {
    const sound = zipSync({ 'season.json': SHEET, 'logs/a.log': bytes(LOG.slice(0, 5000)), 'x/y': SHEET });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat({ max: sound.length - 1 }), fc.nat({ max: 255 })), {
          minLength: 1,
          maxLength: 4,
        }),
        fc.nat({ max: 40 }),
        async (changes, cut) => {
          const zip = sound.slice(0, cut === 0 ? sound.length - changes[0][0] : undefined);
          for (const [at, byte] of changes) if (at < zip.length) zip[at] = byte;
          const made = await unpack(zip);
          expect(made.ok || made.error.text.length > 20).toBe(true);
          if (made.ok) rmSync(made.value, { recursive: true });
          expect(readdirSync(home)).toEqual([]);
        },
      ),
      { numRuns: 400, seed: 6 },
    );
  });
});
