/** What is far too large is refused with a sentence, in little time and memory. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32, deflateRawSync, gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../core/errors.ts';
import { inspectFile } from '../../core/import/inspect-file.ts';
import { createLogReader } from '../../core/pipeline/log-reader.ts';
import { readBoundary } from '../../core/read/boundaries.ts';
import { readMappedLog } from '../../core/read/column-mapping.ts';
import { readTallyLog } from '../../core/read/tally-log.ts';
import { readTickets } from '../../core/read/tickets.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { unpackSeason } from '../../electron/host/season-unpack.ts';
import { shapefileInZip } from '../../electron/host/shapefile.ts';
import { decodeText } from '../../electron/host/text-decoding.ts';
import { Unpacker } from '../../electron/host/unpacker.ts';
import { MINIMAL_SHEET } from '../core/season-file-fixture.ts';
import { bytesOf } from './corpus.ts';
import { textFault } from './reading-checks.ts';

/** Code of the refusal; its sentence must be one. */
function refusal(answer: Result<unknown>): string {
  if (answer.ok) throw new Error('was taken');
  expect(textFault(answer.error.text, '')).toBeUndefined();
  return answer.error.code;
}

/** Milliseconds and MiB by which the process grew while `work` ran. */
async function costOf(work: () => unknown): Promise<{ ms: number; mib: number }> {
  const before = process.memoryUsage.rss();
  let most = before;
  const watch = setInterval(() => {
    most = Math.max(most, process.memoryUsage.rss());
  }, 5);
  const begun = process.cpuUsage();
  await work();
  const ms = processorTime_ms(begun);
  clearInterval(watch);
  return { ms, mib: (Math.max(most, process.memoryUsage.rss()) - before) / 2 ** 20 };
}

const CHUNK = 1 << 20;

describe('logs', () => {
  it.each([
    ['1 GB of digits', 2 ** 30, 0x31],
    ['100 MB of NULs', 100 * CHUNK, 0],
    ['100 MB of commas', 100 * CHUNK, 0x2c],
  ])('a line of %s is stepped over as it streams by', async (_, bytes, byte) => {
    const chunk = new Uint8Array(CHUNK).fill(byte);
    const reader = createLogReader('logs/long.log', {});
    const cost = await costOf(() => {
      for (let at = 0; at < bytes; at += CHUNK) reader.push(chunk);
      expect(refusal(reader.finish())).toBe('no_readable_line');
    });
    expect(cost.ms).toBeLessThan(15_000);
    expect(cost.mib).toBeLessThan(200);
  });

  it('what stands before and after such a line is read', () => {
    const reader = createLogReader('logs/long.log', {});
    reader.push(bytesOf('1000,1\n2000,0\n'));
    for (let at = 0; at < 50; at++) reader.push(new Uint8Array(CHUNK).fill(0x37));
    reader.push(bytesOf('\n3000,1\n4000,0\n'));
    const read = reader.finish();
    if (!read.ok || read.value.kind !== 'runs') throw new Error('was not read as a tick log');
    expect(read.value.reading.lines).toBe(5);
    expect(read.value.reading.damage).toEqual([{ kind: 'line_too_long', count: 1, first_line: 3 }]);
    expect(read.value.reading.runs[0].beam.edges).toBe(4);
  });

  it('a counter that falls 100,000 times is damage, not 100,000 runs', async () => {
    const text = '900000000,1\n1,0\n2,1\n3,0\n'.repeat(100_000);
    const reader = createLogReader('logs/mad.log', {});
    const cost = await costOf(() => {
      reader.push(bytesOf(text));
      const read = reader.finish();
      if (!read.ok || read.value.kind !== 'runs') throw new Error('was not read as a tick log');
      expect(read.value.reading.runs.length).toBeLessThan(4000);
      expect(read.value.reading.damage.find(({ kind }) => kind === 'out_of_order')?.count).toBeGreaterThan(
        100_000,
      );
    });
    expect(cost.ms).toBeLessThan(10_000);
  });

  it('64 MB of gzip that grow to 1 GB and more are refused on the way', async () => {
    const zeros = gzipSync(new Uint8Array(64 << 20), { level: 1 });
    let taken = 0;
    const cost = await costOf(async () => {
      const unpacker = new Unpacker('logs/bomb.log.gz', (piece) => {
        taken += piece.length;
      });
      for (let member = 0; member < 16; member++) await unpacker.push(zeros);
      expect(refusal(await unpacker.finish())).toBe('cannot_unpack');
    });
    expect(taken).toBeLessThan(300 << 20);
    expect(cost.mib).toBeLessThan(200);
  });
});

const COLUMNS = 1_000_000;
const MAPPING = {
  id: 'm',
  columns: [
    { quantity: 'longitude', column: 'lon' },
    { quantity: 'latitude', column: 'lat' },
    { quantity: 'time', column: 'time' },
    { quantity: 'mass', column: 'net_kg' },
  ],
} as const;

describe('tables', () => {
  const header = Array.from({ length: COLUMNS }, (_, i) => `c${i}`).join(',');
  const blank = ','.repeat(COLUMNS - 1);

  it.each([
    ['tally log', (text: string) => readTallyLog(text, 'a.csv')],
    ['tickets', (text: string) => readTickets(text, 'a.csv')],
    ['mapped log', (text: string) => readMappedLog(text, 'a.csv', MAPPING)],
  ])('a million columns are no %s', async (_, read) => {
    const cost = await costOf(() => {
      expect(refusal(read(`${header}\n${header}\n`))).toBe('line_too_long');
      expect(refusal(read(`${blank}1\n${blank}1\n`))).toBe('too_many_columns');
    });
    expect(cost.ms).toBeLessThan(5000);
    expect(cost.mib).toBeLessThan(400);
  });

  it('a million columns are looked into without ado', async () => {
    const cost = await costOf(() => {
      const found = inspectFile('a.csv', bytesOf(`${blank}1\n${blank}1\n`), {
        decode: (all) => decodeText(all).text,
      });
      expect(found.error?.code).toBe('too_many_columns');
    });
    expect(cost.ms).toBeLessThan(5000);
  });

  it('a number of a million digits is no number, and takes no longer than to read', async () => {
    const cell = '1'.repeat(400_000);
    const cost = await costOf(() => {
      const read = readTickets(`ticket,net_kg\n1,${cell}x\n2,${cell}\n3,1200\n`, 'a.csv');
      expect(read.ok && read.value.tickets.map(({ ticket }) => ticket)).toEqual(['3']);
    });
    expect(cost.ms).toBeLessThan(1000);
  });

  it('a log listed as tickets is refused as one', async () => {
    const rows = Array.from({ length: 200_000 }, (_, i) => `7,${i}`).join('\n');
    const cost = await costOf(() => {
      expect(refusal(readTickets(`ticket,net_kg\n${rows}\n`, 'a.csv'))).toBe('too_many_tickets');
    });
    expect(cost.ms).toBeLessThan(3000);
  });

  it('a hundred thousand rows that cannot be read are told in a few sentences', () => {
    const rows = Array.from({ length: 100_000 }, (_, i) => `${i},wet,never`).join('\n');
    const read = readTickets(`ticket,net_kg,start\n${rows}\n`, 'a.csv');
    expect(refusal(read)).toBe('no_ticket');
    expect(read.notices.length).toBeLessThan(100);
    // a word on the weight and one on the time of each
    expect(read.notices.reduce((sum, { count }) => sum + count, 0)).toBe(200_000);
  });
});

describe('JSON', () => {
  it.each(['[', '{"a":', '[{"b":'])('a million %s are no sheet and no outline', async (open) => {
    const text = open.repeat(1_000_000);
    const cost = await costOf(() => {
      expect(refusal(decodeSeason(text))).toBe('json_syntax');
      expect(refusal(readBoundary(text, 'a.geojson'))).toBe('json_syntax');
    });
    expect(cost.ms).toBeLessThan(3000);
  });

  it('a hundred thousand unknown keys, and as many wrong ones, are told in a few sentences', async () => {
    const strangers = Object.fromEntries(Array.from({ length: 100_000 }, (_, i) => [`key${i}`, i]));
    const wrong = Array.from({ length: 5000 }, () => ({ name: 7 }));
    const cost = await costOf(() => {
      const kept = decodeSeason(JSON.stringify({ ...JSON.parse(MINIMAL_SHEET), ...strangers }));
      expect(kept.ok).toBe(true);
      expect(kept.notices.length).toBeLessThan(100);
      const refused = decodeSeason(JSON.stringify({ ...JSON.parse(MINIMAL_SHEET), fields: wrong }));
      expect(refusal(refused)).toBe('wrong_value');
      expect(refused.notices.length).toBeLessThan(100);
    });
    expect(cost.ms).toBeLessThan(5000);
  });

  it('more fields than any farm has are refused', () => {
    const fields = Array.from({ length: 6000 }, (_, i) => ({ name: `f${i}`, crop: 'corn' }));
    expect(refusal(decodeSeason(JSON.stringify({ ...JSON.parse(MINIMAL_SHEET), fields })))).toBe(
      'wrong_value',
    );
  });

  it('a zigzag of 100,000 corners is looked at in bounded time', async () => {
    const ring = Array.from({ length: 100_000 }, (_, i) => [-93 + (i % 2) * 1e-4, 42 + i * 1e-9]);
    const text = JSON.stringify({ type: 'Polygon', coordinates: [[...ring, ring[0]]] });
    const cost = await costOf(() => readBoundary(text, 'a.geojson'));
    expect(cost.ms).toBeLessThan(5000);
  });

  it('an outline around half the globe is refused', () => {
    const ring = [
      [-93, 42],
      [90, 42],
      [-93, 42.01],
      [-93, 42],
    ];
    expect(refusal(readBoundary(JSON.stringify({ type: 'Polygon', coordinates: [ring] }), 'a.geojson'))).toBe(
      'outline_too_long',
    );
  });
});

/** A zip of one entry that claims `claimed` bytes, whatever it holds: made by hand, as no honest program makes it. */
function zipOf(name: string, content: Uint8Array, claimed: number): Uint8Array {
  const packed = deflateRawSync(content, { level: 1 });
  const local = Buffer.alloc(30);
  local.writeUInt32LE(0x04034b50, 0);
  local.writeUInt16LE(20, 4);
  local.writeUInt16LE(8, 8);
  local.writeUInt32LE(crc32(content), 14);
  local.writeUInt32LE(packed.length, 18);
  local.writeUInt32LE(claimed, 22);
  local.writeUInt16LE(name.length, 26);
  const central = Buffer.alloc(46);
  central.writeUInt32LE(0x02014b50, 0);
  central.writeUInt16LE(20, 6);
  central.writeUInt16LE(8, 10);
  central.writeUInt32LE(crc32(content), 16);
  central.writeUInt32LE(packed.length, 20);
  central.writeUInt32LE(claimed, 24);
  central.writeUInt16LE(name.length, 28);
  const body = Buffer.concat([local, Buffer.from(name), packed]);
  const directory = Buffer.concat([central, Buffer.from(name)]);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(1, 8);
  end.writeUInt16LE(1, 10);
  end.writeUInt32LE(directory.length, 12);
  end.writeUInt32LE(body.length, 16);
  return Buffer.concat([body, directory, end]);
}

describe('zips', () => {
  it('a Shapefile of 200 MB of nothing is refused before it is unpacked', async () => {
    const bomb = zipOf('home.shp', new Uint8Array(200 << 20), 200 << 20);
    const cost = await costOf(async () => {
      expect(refusal(await shapefileInZip(bomb, 'bomb.zip'))).toBe('zip_bomb');
    });
    expect(cost.mib).toBeLessThan(100);
  });

  it('an entry that holds more than it claims is refused on the way', async () => {
    const bomb = zipOf('home.shp', new Uint8Array(100 << 20), 1000);
    const cost = await costOf(async () => {
      expect(refusal(await shapefileInZip(bomb, 'bomb.zip'))).toBe('zip_damaged');
    });
    expect(cost.mib).toBeLessThan(100);
  });

  it('a packed season that would fill the disk is refused, and leaves nothing', async () => {
    const scratch = mkdtempSync(join(tmpdir(), 'sheaflight-bomb-'));
    try {
      const bomb = zipOf('logs/combine.log', new Uint8Array(300 << 20), 300 << 20);
      writeFileSync(join(scratch, 'bomb.zip'), bomb);
      expect(refusal(await unpackSeason(join(scratch, 'bomb.zip'), scratch))).toBe('zip_bomb');
    } finally {
      rmSync(scratch, { recursive: true, force: true });
    }
  });
});

/** The processor's time since `before`: a busy machine makes nothing slow. */
function processorTime_ms(before: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}
