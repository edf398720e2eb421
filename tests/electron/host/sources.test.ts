import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readLog } from '../../../core/pipeline/log-reader.ts';
import { openSeasonFolder } from '../../../electron/host/season-folder.ts';
import { readSources } from '../../../electron/host/sources.ts';
import type { GunzipBounds } from '../../../electron/host/unpacker.ts';

const SHEET = {
  format: 'sheaflight-season/1',
  name: 'Sources',
  machines: [{ id: 'c1', name: 'one', header: { width_m: 6 } }],
  fields: [{ name: 'Home', crop: 'wheat', boundary: 'boundaries/home.geojson' }],
  logs: [{ machine: 'c1', files: ['logs/a.log'] }],
  tickets: ['tickets/t.csv'],
};
const LOG = `t_us,beam\n${'1000,1\n2000,0\n'.repeat(5000)}`;

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-sources-'));
  put('season.json', JSON.stringify(SHEET));
  put('logs/a.log', LOG);
  put('tickets/t.csv', 'ticket,net_kg\n1,1000\n');
  put('boundaries/home.geojson', '{}');
});

afterEach(() => rmSync(folder, { recursive: true }));

function put(name: string, content: string | Uint8Array): void {
  mkdirSync(dirname(join(folder, name)), { recursive: true });
  writeFileSync(join(folder, name), content);
}

function list(files: readonly string[], more: object = {}): void {
  put('season.json', JSON.stringify({ ...SHEET, logs: [{ machine: 'c1', files }], ...more }));
}

async function read(bounds?: GunzipBounds) {
  const open = await openSeasonFolder(folder);
  if (!open.ok) throw new Error(open.error.text);
  return readSources(open.value, { bounds });
}

async function sources(bounds?: GunzipBounds) {
  const found = await read(bounds);
  if (!found.ok) throw new Error(found.error.text);
  return { ...found.value, notices: found.notices };
}

async function refusal(bounds?: GunzipBounds): Promise<string> {
  const found = await read(bounds);
  if (found.ok) throw new Error('read, although it should have been refused');
  return found.error.text;
}

/** What a log of this text is read as. */
const readAs = (path: string, text: string) => readLog(path, Buffer.from(text), {});

describe('readSources', () => {
  it('reads logs, has tickets and boundaries as text, and names each by its SHA-256', async () => {
    const { logs, texts, hashes, notices } = await sources();
    expect(logs.get('logs/a.log')).toEqual(readAs('logs/a.log', LOG));
    expect([...texts.keys()]).toEqual(['tickets/t.csv', 'boundaries/home.geojson']);
    expect(hashes.get('logs/a.log')).toBe(createHash('sha256').update(LOG).digest('hex'));
    expect(notices).toEqual([]);
  });

  it('unpacks .gz and hashes the file as it lies on the disk', async () => {
    const packed = gzipSync(LOG);
    put('logs/a.log.gz', packed);
    list(['logs/a.log.gz']);
    const { logs, hashes } = await sources();
    expect(logs.get('logs/a.log.gz')).toEqual(readAs('logs/a.log.gz', LOG));
    expect(hashes.get('logs/a.log.gz')).toBe(createHash('sha256').update(packed).digest('hex'));
  });

  it('unpacks what stands before the damage, and says so', async () => {
    const rows = Array.from({ length: 60_000 }, (_, row) => `${row * 1733},${row % 2}\n`).join('');
    const packed = gzipSync(rows);
    put('logs/cut.log.gz', packed.subarray(0, packed.length / 2));
    list(['logs/cut.log.gz']);
    const { logs, notices } = await sources();
    const read = logs.get('logs/cut.log.gz');
    const lines = read?.ok ? read.value.reading.lines : 0;
    expect(lines).toBeGreaterThan(60_000 / 4);
    expect(lines).toBeLessThan(60_000);
    expect(notices.map((notice) => notice.code)).toEqual(['damaged_gzip']);
  });

  it('refuses a file that is damaged from its first byte on', async () => {
    put('logs/bad.log.gz', Uint8Array.of(0x1f, 0x8b, 8, 0, 1, 2, 3));
    list(['logs/bad.log.gz']);
    expect(await refusal()).toBe(
      'logs/bad.log.gz cannot be unpacked: it is damaged from its beginning. Copy it again from the logger.',
    );
  });

  it('does not let a small file fill the memory', async () => {
    put('logs/bomb.log.gz', gzipSync(new Uint8Array(4 << 20)));
    list(['logs/bomb.log.gz']);
    const bounds = { most_times: 200, free_bytes: 1 << 20, most_bytes: 2 ** 31 - 1 };
    expect(await refusal(bounds)).toMatch(/^logs\/bomb\.log\.gz unpacks to more than 1 MB, far more than/);
  });

  it('reads tickets in UTF-16 and in Windows-1252', async () => {
    put('tickets/t.csv', Buffer.from('\uFEFFticket,field\n1,Höhe\n', 'utf16le'));
    expect((await sources()).texts.get('tickets/t.csv')).toBe('ticket,field\n1,Höhe\n');
    put('tickets/t.csv', Buffer.from('ticket,field\n1,Höhe\n', 'latin1'));
    const { texts, notices } = await sources();
    expect(texts.get('tickets/t.csv')).toBe('ticket,field\n1,Höhe\n');
    expect(notices.map((notice) => notice.code)).toEqual(['guessed_encoding']);
  });

  it('hands delimited text of a mapping on as text, whatever its encoding', async () => {
    put('logs/flow.txt', Buffer.from('\uFEFFLänge;Fluss\n', 'utf16le'));
    const mappings = [{ id: 'm', columns: [{ quantity: 'longitude', column: 'Länge' }] }];
    put(
      'season.json',
      JSON.stringify({
        ...SHEET,
        mappings,
        logs: [{ machine: 'c1', mapping: 'm', files: ['logs/flow.txt'] }],
      }),
    );
    expect((await sources()).texts.get('logs/flow.txt')).toBe('Länge;Fluss\n');
  });

  it('names every missing file, and what is near it', async () => {
    list(['logs/aa.log', 'elsewhere/a.log', 'logs/q/zzzzzz.bin']);
    const found = await read();
    expect(found.ok === false && found.error.text).toBe(
      'logs/aa.log is not in the season folder; did you mean logs/a.log?',
    );
    expect(found.notices.map((notice) => notice.text)).toEqual([
      'elsewhere/a.log is not in the season folder; did you mean logs/a.log?',
      'logs/q/zzzzzz.bin is not in the season folder; put it there, or correct the name in season.json.',
    ]);
  });

  it('refuses a folder where a file is listed', async () => {
    list(['logs']);
    expect(await refusal()).toBe('logs is a folder; list the files in it.');
  });

  it('refuses a link that leads out of the folder, and follows one that stays inside', async () => {
    const outside = mkdtempSync(join(tmpdir(), 'sheaflight-outside-'));
    writeFileSync(join(outside, 'secret.log'), LOG);
    symlinkSync(join(outside, 'secret.log'), join(folder, 'logs/link.log'));
    symlinkSync(outside, join(folder, 'far'));
    symlinkSync('a.log', join(folder, 'logs/same.log'));
    list(['logs/link.log']);
    expect(await refusal()).toBe(
      'logs/link.log is not in the season folder: it is a link to somewhere outside. Copy the file into the folder and list it there.',
    );
    list(['far/secret.log']);
    expect(await refusal()).toMatch(/^far\/secret\.log is not in the season folder: it is a link/);
    list(['logs/same.log']);
    expect((await sources()).logs.get('logs/same.log')).toEqual(readAs('logs/same.log', LOG));
    rmSync(outside, { recursive: true });
  });
});

describe('openSeasonFolder', () => {
  it('takes the folder or the sheet in it', async () => {
    expect((await openSeasonFolder(join(folder, 'season.json'))).ok).toBe(true);
    expect((await openSeasonFolder(`${folder}/`)).ok).toBe(true);
  });

  async function sentence(path: string): Promise<string> {
    const found = await openSeasonFolder(path);
    if (found.ok) throw new Error('opened, although it should have been refused');
    return found.error.text;
  }

  it('says what it found instead of a season', async () => {
    expect(await sentence(`${folder}x`)).toBe(`there is no folder ${folder}x; did you mean ${folder}?`);
    expect(await sentence(join(folder, 'logs/a.log'))).toBe(
      `${join(folder, 'logs/a.log')} is a file; give the season folder, which holds season.json.`,
    );
    expect(await sentence(join(folder, 'logs'))).toBe(
      `${join(folder, 'logs')} has no season.json; give the folder that holds it, or write one.`,
    );
    put('above/2026/season.json', '{}');
    expect(await sentence(join(folder, 'above'))).toBe(
      `${join(folder, 'above')} has no season.json, but the folder 2026 in it has; did you mean ${join(folder, 'above/2026')}?`,
    );
    put('wrong/seasn.json', '{}');
    expect(await sentence(join(folder, 'wrong'))).toBe(
      `${join(folder, 'wrong')} has no season.json; rename seasn.json if that is it.`,
    );
  });
});
