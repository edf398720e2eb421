/** What the fuzzer found, each in its smallest case. */
import { describe, expect, it } from 'vitest';
import { decodeColumns, encodeColumns } from '../../core/column-wire.ts';
import { inspectFile } from '../../core/import/inspect-file.ts';
import { guessMapping } from '../../core/import/mapping-guess.ts';
import { nearestWord } from '../../core/nearest-word.ts';
import { readLog } from '../../core/pipeline/log-reader.ts';
import { readBoundary } from '../../core/read/boundaries.ts';
import { readMappedLog } from '../../core/read/column-mapping.ts';
import { RunColumns } from '../../core/read/run-columns.ts';
import { readTallyLog } from '../../core/read/tally-log.ts';
import { createTickLogReader } from '../../core/read/tick-log.ts';
import { readTickets } from '../../core/read/tickets.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { isPrintable, shownNames, shownText } from '../../core/shown-text.ts';
import { BeamReducer } from '../../core/signal/beam-reading.ts';
import { estimateClock, timeFromTick } from '../../core/signal/clock.ts';
import { localFrame } from '../../core/track/local-frame.ts';
import { plainFileName } from '../../electron/host/file-name.ts';
import { geojsonFromShapefile } from '../../electron/host/shapefile.ts';
import { decodeText } from '../../electron/host/text-decoding.ts';
import { MINIMAL_SHEET } from '../core/season-file-fixture.ts';
import { sentence } from '../synthetic/nmea-sentence.ts';
import { bytesOf } from './corpus.ts';
import { shpFiles } from './packed-corpus.ts';

/** Milliseconds that `work` takes. */
function timeOf(work: () => unknown): number {
  const start_ms = performance.now();
  work();
  return performance.now() - start_ms;
}

describe('tick logs', () => {
  it('a run of NULs takes its length, not its square', () => {
    const log = Buffer.concat([bytesOf('1000,1\n2000,0\n'), new Uint8Array(8 << 20), bytesOf('\n3000,1\n')]);
    expect(timeOf(() => readLog('a.log', log, {}))).toBeLessThan(2000);
  });

  it('a counter with nothing behind its comma is unreadable, wherever the chunks are cut', () => {
    const read = (chunks: readonly string[]) => {
      const reader = createTickLogReader('a.log', (damage) => new RunColumns(damage, new BeamReducer()));
      for (const chunk of chunks) reader.push(bytesOf(chunk));
      const answer = reader.finish();
      return answer.notices.map(({ code, count }) => `${code} ${count}`);
    };
    const whole = read(['1,1\n5294967311,$\n5294967313,\n']);
    expect(read(['1,1\n5294967311,$', '\n5294967313,', '\n'])).toEqual(whole);
    expect(whole).toEqual(['unreadable_line 1', 'missing_checksum 1']);
  });

  it('numbers of hundreds of digits are damage, not infinity', () => {
    const digits = '9'.repeat(400);
    const gga = sentence(`GPGGA,120000.00,4159.96,N,09330.05,W,4,14,${digits},309.1,M,-32.0,M,,`);
    const read = readLog('a.log', bytesOf(`1,1\n2,0\n3,M,${digits}\n4,${gga}\n5,T,1,-${digits}\n`), {});
    if (!read.ok || read.value.kind !== 'runs') throw new Error('was not read as a tick log');
    const [run] = read.value.reading.runs;
    expect([run.moisture.tick_us.length, run.fixes.tick_us.length, run.tilt.tick_us.length]).toEqual([
      0, 0, 0,
    ]);
    expect(read.value.reading.damage).toContainEqual({ kind: 'bad_number', count: 3, first_line: 3 });
  });
});

describe('clocks', () => {
  it('two fixes that tell times far apart still make a clock', () => {
    const tick_us = Float64Array.of(1e6, 5e6);
    const clock = estimateClock(tick_us, Float64Array.of(1_791_000_000, 1_791_000_900), 'a.log');
    if (!clock.ok) throw new Error(clock.error.text);
    expect(clock.value.pieces).toHaveLength(1);
    expect([...timeFromTick(clock.value, tick_us, 1_791_000_000)].every(Number.isFinite)).toBe(true);
  });

  it('and a log that holds nothing else can be looked into', () => {
    const gga = sentence('GPGGA,120000.00,4159.96,N,09330.05,W,4,14,0.7,309.1,M,-32.0,M,,');
    const rmc = sentence('GPRMC,142002.00,A,4159.97,N,09330.02,W,0.1,,061026,,,R');
    const found = inspectFile('a.log', bytesOf(`1,${gga}\n5,${rmc}\n`), {
      decode: (all) => decodeText(all).text,
    });
    expect(found.kind).toBe('tick_log');
    expect(found.content.kind).toBe('runs');
  });
});

const MAPPING = {
  id: 'm',
  columns: [
    { quantity: 'longitude', column: 'lon' },
    { quantity: 'latitude', column: 'lat' },
    { quantity: 'time', column: 'time', unit: 'unix_s' },
    { quantity: 'mass_flow', column: 'flow' },
    { quantity: 'swath', column: 'swath' },
  ],
} as const;

describe('tables', () => {
  it('numbers that no double holds, or no log can mean, are damage', () => {
    const text =
      'lon,lat,time,flow,swath\n-93,42,1791217200,1e400,9\n-93,42,1791217201,7,1e15\n-93,42,1e308,7,9\n';
    const read = readMappedLog(text, 'a.csv', MAPPING);
    if (!read.ok) throw new Error(read.error.text);
    expect([...read.value.rows.utc_s]).toEqual([1_791_217_200, 1_791_217_201]);
    expect([...read.value.rows.mass_flow_kg_s]).toEqual([Number.NaN, 7]);
    expect([...read.value.rows.swath_m]).toEqual([9, Number.NaN]);
    expect(read.value.damage).toContainEqual({ kind: 'bad_number', count: 2, first_line: 2 });
  });

  it('a tally log takes no counter of 400 digits and no place off the globe', () => {
    const rows = [`${'9'.repeat(400)},5,80,42,-93`, '1000000,5,80,420,-93', '2000000,6,81,42,-93'];
    const read = readTallyLog(`time,paddles,dark_ms,lat,lon\n${rows.join('\n')}\n`, 'a.csv');
    if (!read.ok) throw new Error(read.error.text);
    expect([...read.value.rows.tick_us]).toEqual([1e6, 2e6]);
    expect([...read.value.rows.latitude_deg]).toEqual([Number.NaN, 42]);
    expect(read.value.damage.map(({ kind }) => kind)).toEqual(['unreadable_line', 'bad_fix']);
  });

  it('tickets that all have one number take no longer than others', () => {
    const rows = Array.from({ length: 1500 }, (_, i) => `7,${1000 + i}`).join('\n');
    let text = '';
    const ms = timeOf(() => {
      const read = readTickets(`ticket,net_kg\n${rows}\n`, 'a.csv');
      text = read.notices.find(({ code }) => code === 'ticket_number_twice')?.text ?? '';
    });
    expect(ms).toBeLessThan(1000);
    expect(text).toContain('and 1489 more with other content');
  });

  it('what cells hold is quoted short and without signs that a terminal obeys', () => {
    const read = readTickets(`ticket,net_kg\n\u001b[31m1,${'wet'.repeat(1000)}\u0007\n2,1200\n`, 'a.csv');
    const [said] = read.notices;
    expect(said.code).toBe('ticket_unreadable');
    expect(isPrintable(said.text)).toBe(true);
    expect(said.text.length).toBeLessThan(300);
  });

  it('a heading of brackets does not hold up the guess', () => {
    const heading = '{'.repeat(100_000);
    expect(timeOf(() => guessMapping(`${heading},b\n1,2\n3,4\n`, 'a.csv'))).toBeLessThan(2000);
  });

  it('a heading that no sheet can hold is known by its number', () => {
    const guess = guessMapping('lon\u0007,lat,time,flow\n-93.5,42.1,2026-10-06T14:20:00Z,7\n', 'a.csv');
    if (!guess.ok) throw new Error(guess.error.text);
    const texts = guess.value.mapping.columns
      .map(({ column }) => column)
      .filter((column) => typeof column === 'string');
    expect(texts.every(isPrintable)).toBe(true);
  });
});

describe('sheets and outlines', () => {
  it('a number that JSON cannot hold is refused under unknown keys, too: it could not be written again', () => {
    const decoded = decodeSeason(MINIMAL_SHEET.replace('{', '{ "note": { "size": 1e999 },'));
    if (decoded.ok) throw new Error('was taken');
    expect(decoded.error.text).toBe(
      'season.json, line 1: note.size is a number too large to be held; correct it, or remove the key.',
    );
  });

  it('true in small letters is not said to be in capitals', () => {
    const decoded = decodeSeason('{ "a": 1true }');
    if (decoded.ok) throw new Error('was taken');
    expect(decoded.error.text).not.toContain('small letters');
  });

  it.each(['__proto__', 'constructor', 'toString'])(
    'the key %s is unknown like any other, and harms nothing',
    (key) => {
      const decoded = decodeSeason(MINIMAL_SHEET.replace('{', `{ "${key}": { "polluted": true },`));
      if (!decoded.ok) throw new Error(decoded.error.text);
      expect(decoded.notices.map(({ code }) => code)).toContain('unknown_key');
      expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
    },
  );

  it('numbers for a rule that there is not are told, not tripped over', () => {
    const decoded = decodeSeason(
      MINIMAL_SHEET.replace('{', '{ "settings": { "screening": { "sloww": { "on": true } } },'),
    );
    if (!decoded.ok) throw new Error(decoded.error.text);
    expect(decoded.notices.map(({ text }) => text).join()).toContain('Did you mean "slow"?');
  });

  it('a corner that is no number is told without “null”', () => {
    const read = readBoundary('{"type":"Polygon","coordinates":[[1e400,[]]]}', 'a.geojson');
    expect(read.ok ? '' : read.error.text).toContain('out of all bounds');
  });

  it('the other side of the globe has no place in a field', () => {
    const longitudes: number[] = [];
    const latitudes: number[] = [];
    for (let longitude = -180; longitude <= 180; longitude += 3) {
      for (let latitude = -89; latitude <= 89; latitude += 1.73) {
        longitudes.push(longitude + 0.6);
        latitudes.push(latitude);
      }
    }
    const { east_m, north_m } = localFrame(-96.4, 41.7).toPlane(longitudes, latitudes);
    expect([...east_m, ...north_m].filter((m) => Math.abs(m) === Number.POSITIVE_INFINITY)).toEqual([]);
    expect(east_m.some(Number.isNaN)).toBe(true);
  });
});

describe('words', () => {
  it('texts of a million letters are not compared letter by letter', () => {
    const long = 'ab'.repeat(500_000);
    expect(timeOf(() => nearestWord(long, [long.replace('a', 'c'), 'paddle']))).toBeLessThan(100);
    expect(timeOf(() => nearestWord('paddel', [long, 'paddle']))).toBeLessThan(100);
    expect(nearestWord('paddel', [long, 'paddle'])).toBe('paddle');
  });

  it('quotations are cut, and their unprintable signs are dots', () => {
    expect(shownText('a\u001b[31mb\u202ec\nd')).toBe('a·[31mb·c·d');
    expect(shownText('x'.repeat(100))).toBe(`${'x'.repeat(60)}…`);
    expect(shownText(`${'x'.repeat(59)}😀`)).toBe(`${'x'.repeat(59)}·…`);
    expect(shownNames(Array.from({ length: 15 }, (_, i) => `c${i}`))).toMatch(/^"c0", .*"c11" and 3 more$/);
  });

  it('a file name of a million letters becomes a short one in no time', () => {
    let name = '';
    expect(
      timeOf(() => {
        name = plainFileName(`${'a.'.repeat(500_000)}log`, 'file');
      }),
    ).toBeLessThan(500);
    expect(name).toMatch(/\.log$/);
    expect(plainFileName(`${' .'.repeat(100)}\u2028\u061c`, 'file')).toBe('file');
  });
});

describe('Shapefiles', () => {
  const [sound] = shpFiles();
  /** The sound one with other numbers of parts and points, and other first points of parts. */
  const spoilt = (parts: number, points: number) => {
    const bytes = Buffer.from(sound);
    bytes.writeInt32LE(parts, 144);
    bytes.writeInt32LE(points, 148);
    return new Map([['shp', bytes]]);
  };

  it('that claim millions of parts or points cost no memory for them', async () => {
    for (const [parts, points] of [
      [30_000_000, 5],
      [1, 30_000_000],
      [-1, 5],
    ]) {
      const read = await geojsonFromShapefile(spoilt(parts, points), 'a.shp');
      expect(read.ok ? 'read' : read.error.code).toBe('shapefile_damaged');
    }
    expect((await geojsonFromShapefile(new Map([['shp', sound]]), 'a.shp')).ok).toBe(true);
  });

  it('whose parts overlap, so that few bytes hold many points, are damaged', async () => {
    const parts = 2000;
    const record = Buffer.alloc(8 + 44 + 4 * parts + 16 * 5);
    record.writeInt32BE(1, 0);
    record.writeInt32BE((record.length - 8) / 2, 4);
    record.writeInt32LE(5, 8);
    record.writeInt32LE(parts, 44);
    record.writeInt32LE(5, 48);
    const shp = Buffer.concat([sound.subarray(0, 100), record]);
    const read = await geojsonFromShapefile(new Map([['shp', shp]]), 'a.shp');
    expect(read.ok ? 'read' : read.error.code).toBe('shapefile_damaged');
  });
});

describe('column blocks', () => {
  it('hold no infinite numbers in their header', () => {
    const block = encodeColumns({ about: { revision: 3 }, rows: 0, columns: new Map() });
    const spoilt = Buffer.from(
      Buffer.from(block)
        .toString('latin1')
        .replace('"revision":3}', '"revision":1e999}')
        .replace(/ {5}$/, ''),
      'latin1',
    );
    expect(decodeColumns(spoilt).ok).toBe(false);
  });
});
