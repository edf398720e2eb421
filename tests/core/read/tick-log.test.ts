import { describe, expect, it } from 'vitest';
import type { TickLogReading } from '../../../core/read/logger-run.ts';
import { createEdgeReader, type EdgeLog } from './edge-log.ts';
import { bytesOf, damageCounts, readTickLog, sealed } from './log-text.ts';

/** Edges of a run as `tick:state` words. */
function edges(reading: TickLogReading<EdgeLog>, run = 0): string[] {
  const { tick_us, dark } = reading.runs[run].beam;
  return Array.from(tick_us, (tick, i) => `${tick}:${dark[i]}`);
}

function failureOf(content: string | Uint8Array): { code: string; text: string } {
  const reader = createEdgeReader('logs/c1.log');
  reader.push(typeof content === 'string' ? bytesOf(content) : content);
  const result = reader.finish();
  if (result.ok) throw new Error('it was read');
  return result.error;
}

describe('the grammar', () => {
  it('reads every payload into its column', () => {
    const fix = sealed('GPRMC,132819.60,A,4134.5000,N,09345.0300,W,5.0,92.3,180320,,,A');
    const reading = readTickLog(`100,1\n150,${fix}\n200,0\n250,M,14.5\n300,H,0\n350,H,1\n400,T,-2.5,1.25\n`);
    expect(edges(reading)).toEqual(['100:1', '200:0']);
    const run = reading.runs[0];
    expect(run.source).toBe('logs/c1.log');
    expect(Array.from(run.fixes.tick_us)).toEqual([150]);
    expect(run.moisture).toEqual({ tick_us: Float64Array.of(250), moisture_pct: Float64Array.of(14.5) });
    // 0 is up, 1 is down, in the order of the contract's words "header up / down"
    expect(run.header).toEqual({ tick_us: Float64Array.of(300, 350), up: Uint8Array.of(1, 0) });
    expect(run.tilt.pitch_deg[0]).toBe(-2.5);
    expect(run.tilt.roll_deg[0]).toBe(1.25);
    expect(reading.lines).toBe(7);
    expect(reading.damage).toEqual([]);
  });

  it('allows LF and CRLF, a mark at the beginning, a header, comments, blank lines and spaces', () => {
    const text =
      '\uFEFF# combine 1\r\nt_us,beam\r\n\r\n100,1\r\n   \n# pause\n 200 , 0 \n300,1\r\n400,M, 14.5 \n';
    const reading = readTickLog(text);
    expect(edges(reading)).toEqual(['100:1', '200:0', '300:1']);
    expect(Array.from(reading.runs[0].moisture.moisture_pct)).toEqual([14.5]);
    expect(reading.damage).toEqual([]);
    expect(reading.lines).toBe(9);
  });

  it('takes the header again where the logger wrote it again, and no other word', () => {
    const reading = readTickLog('t_us,beam\n100,1\n200,0\nt_us,beam\n300,1\nt_us,bean\n');
    expect(edges(reading)).toEqual(['100:1', '200:0', '300:1']);
    expect(reading.damage).toEqual([{ kind: 'unreadable_line', count: 1, first_line: 6 }]);
  });

  it('reads bare beam edges', () => {
    const reading = readTickLog('t_us,beam\n5,1\n15,0\n');
    expect(edges(reading)).toEqual(['5:1', '15:0']);
    expect(reading.runs[0].fixes.utc_s).toHaveLength(0);
  });

  it('reads a bare NMEA file as a run of fixes without counters', () => {
    const reading = readTickLog(
      `${sealed('GPGSV,1,1,00')}\r\n${sealed('GPRMC,132819,A,4134.5,N,09345.03,W,5.0,92.3,180320,,,A')}\r\n`,
    );
    expect(reading.runs).toHaveLength(1);
    expect(Array.from(reading.runs[0].fixes.tick_us)).toEqual([Number.NaN]);
    expect(reading.runs[0].beam.tick_us).toHaveLength(0);
    expect(reading.damage).toEqual([{ kind: 'skipped_sentence', count: 1, first_line: 1 }]);
  });

  it('keeps counters of 64 bits to the microsecond', () => {
    const reading = readTickLog('1789000000000001,1\n1789000000040002,0\n1789000000090003,1\n');
    expect(edges(reading)).toEqual(['1789000000000001:1', '1789000000040002:0', '1789000000090003:1']);
  });

  it('keeps two edges of one counter value apart: chatter', () => {
    expect(edges(readTickLog('100,1\n100,0\n100,1\n200,0\n'))).toEqual(['100:1', '100:0', '100:1', '200:0']);
  });
});

describe('damage, each kind counted with its first line', () => {
  it.each([
    [
      'half-written lines',
      '100,1\n20\n300,0\n,0\n-5,1\n1.5,1\n400,2\n400,10\n500,\n600,1\n',
      'unreadable_line',
      7,
      2,
    ],
    ['unknown payloads', '100,1\n200,X,5\n300,M14\n400,T,1\n500,0\n', 'unreadable_line', 3, 2],
    ['no numbers', '100,1\n200,M,wet\n300,H,2\n400,T,1,\n500,M,\n600,0\n', 'bad_number', 4, 2],
    ['a wrong checksum', '100,1\n200,$GPGGA,1*00\n300,0\n', 'bad_checksum', 1, 2],
    ['no checksum', '100,1\n200,$GPGGA,123519,4807.038,N\n300,0\n', 'missing_checksum', 1, 2],
    [
      'a sentence that is not needed',
      `100,1\n200,${sealed('GPGSV,1,1,00')}\n300,0\n`,
      'skipped_sentence',
      1,
      2,
    ],
    ['a missing edge', '100,1\n200,1\n300,0\n400,0\n500,1\n', 'missing_edge', 2, 2],
    ['a repeated edge', '100,1\n100,1\n200,0\n', 'repeated_line', 1, 2],
    ['a repeated line of another kind', '100,1\n150,M,14\n150,M,14\n200,0\n', 'repeated_line', 1, 3],
    ['a counter of 17 digits', '100,1\n12345678901234567,0\n200,0\n', 'unreadable_line', 1, 2],
    ['a counter beyond exact numbers', '100,1\n9999999999999999,0\n200,0\n', 'unreadable_line', 1, 2],
    ['bytes beyond ASCII', '100,1\n2é0,0\n200,0\n', 'unreadable_line', 1, 2],
  ] as const)('%s', (_, text, kind, count, first_line) => {
    expect(readTickLog(text).damage).toEqual([{ kind, count, first_line }]);
  });

  it('keeps both rows of a missing edge', () => {
    expect(edges(readTickLog('100,1\n200,1\n300,0\n'))).toEqual(['100:1', '200:1', '300:0']);
  });

  it.each([
    ['an edge', '100,1\n200,0\n3000', 'truncated_last_line', 3],
    ['the comma', '100,1\n200,0\n3000,', 'truncated_last_line', 3],
    ['a sentence', '100,1\n200,0\n300,$GPGGA,123519,4807', 'truncated_last_line', 3],
    ['a moisture that may have lost digits', '100,1\n200,0\n300,M,1', 'truncated_last_line', 3],
    ['a bare sentence', `${sealed('GPGSV,1,1,00')}\n$GPRMC,13281`, 'truncated_last_line', 2],
  ] as const)('tells a last line cut in %s', (_, text, kind, line) => {
    const reading = readTickLog(text);
    expect(reading.damage.find((one) => one.kind === kind)).toEqual({ kind, count: 1, first_line: line });
    expect(reading.lines).toBe(line);
  });

  it('takes a last line that lacks only its line end', () => {
    const edge = readTickLog('100,1\n200,0');
    expect(edges(edge)).toEqual(['100:1', '200:0']);
    expect(edge.damage).toEqual([]);
    const sentence = readTickLog(
      `100,1\n200,${sealed('GPRMC,132819,A,4134.5,N,09345.03,W,5,92,180320,,,A')}`,
    );
    expect(sentence.runs[0].fixes.utc_s).toHaveLength(1);
    expect(sentence.damage).toEqual([]);
  });

  it('steps over runs of NUL bytes and loses only the line that they break', () => {
    const nuls = '\u0000'.repeat(5000);
    const reading = readTickLog(`100,1\n200,0\n30${nuls}400,0\n500,1\n${nuls}\n600,0\n${nuls}`);
    expect(edges(reading)).toEqual(['100:1', '200:0', '400:0', '500:1', '600:0']);
    expect(reading.damage).toEqual([
      { kind: 'nul_bytes', count: 3, first_line: 3 },
      { kind: 'missing_edge', count: 1, first_line: 3 },
    ]);
  });

  it('skips lines of more than 4096 bytes, whatever is in them', () => {
    const long = '7'.repeat(4097);
    const reading = readTickLog(
      `100,1\n${long}\n200,0\n${'x\u0000'.repeat(4000)}${long}\n300,1\n#${'y'.repeat(4000)}\n400,0\n${long}`,
    );
    expect(edges(reading)).toEqual(['100:1', '200:0', '300:1', '400:0']);
    const counts = damageCounts(reading);
    expect(counts.line_too_long).toBe(3);
    expect(reading.damage.find((one) => one.kind === 'line_too_long')?.first_line).toBe(2);
  });

  it('counts a sentence that lost its counter among thousands of lines as unreadable', () => {
    let text = '';
    for (let i = 0; i < 500; i++) text += `${i * 1000},${1 - (i % 2)}\n`;
    const reading = readTickLog(`${text}${sealed('GPRMC,132819,A,4134.5,N,09345.03,W,5,92,180320,,,A')}\n`);
    expect(reading.runs).toHaveLength(1);
    expect(reading.damage).toEqual([{ kind: 'unreadable_line', count: 1, first_line: 501 }]);
  });

  it('does not take left-over digits in a bare NMEA file for a counter', () => {
    const lines = Array.from({ length: 300 }, (_, i) => {
      const clock = `10${String(Math.floor(i / 60)).padStart(2, '0')}${String(i % 60).padStart(2, '0')}`;
      return sealed(`GPRMC,${clock},A,4134.5,N,09345.03,W,5,92,180320,,,A`);
    });
    lines.splice(100, 0, '05,1');
    const reading = readTickLog(lines.join('\n'));
    expect(reading.runs).toHaveLength(1);
    expect(reading.runs[0].fixes.utc_s).toHaveLength(300);
    expect(reading.damage).toEqual([{ kind: 'unreadable_line', count: 1, first_line: 101 }]);
  });

  it('says each kind in a sentence with file, count and line', () => {
    const reader = createEdgeReader('logs/c1.log');
    reader.push(bytesOf('100,1\n200,1\n300,0\n'));
    const result = reader.finish();
    expect(result.notices).toEqual([
      {
        code: 'missing_edge',
        severity: 'look',
        source: 'logs/c1.log',
        line: 2,
        count: 1,
        text: 'logs/c1.log: beam edges are missing (the same state twice in a row) (1 of 3 lines, first on line 2).',
      },
    ]);
  });
});

describe('files in which nothing can be read', () => {
  const jpeg = Uint8Array.of(
    0xff,
    0xd8,
    0xff,
    0xe0,
    0,
    16,
    0x4a,
    0x46,
    0x49,
    0x46,
    0,
    1,
    1,
    10,
    0x35,
    0x2c,
    200,
  );

  it.each([
    ['an empty file', '', 'empty_file', 'logs/c1.log is empty (0 bytes)'],
    ['a photo', jpeg, 'not_a_log', 'a photo (JPEG)'],
    ['a zip archive', Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0), 'not_a_log', 'zip archive'],
    ['a PDF', '%PDF-1.7\n1 0 obj\n', 'not_a_log', 'PDF'],
    ['a gzip file', Uint8Array.of(0x1f, 0x8b, 8, 0), 'not_a_log', 'gzip'],
    ['a UTF-16 text', Uint8Array.of(0xff, 0xfe, 0x31, 0, 0x2c, 0, 0x31, 0, 10, 0), 'not_a_log', 'UTF-16'],
    ['other bytes', Uint8Array.from({ length: 400 }, (_, i) => (i * 37) % 29), 'not_a_log', 'binary file'],
    ['a letter', 'Dear Sir,\nthe log is lost.\n', 'no_readable_line', 'none of its 2 lines'],
    [
      'another table',
      'id,lon,lat\n169881,-109.18,46.04\n169882,-109.18,46.04\n',
      'no_readable_line',
      'column mapping',
    ],
    ['a header alone', 't_us,beam\n', 'no_readable_line', 'none of its 1 lines'],
    ['NULs alone', new Uint8Array(3000), 'no_readable_line', 'full of NUL bytes'],
  ] as const)('%s', (_, content, code, words) => {
    const error = failureOf(content);
    expect(error.code).toBe(code);
    expect(error.text).toContain(words);
  });

  it('throws at our own mistakes', () => {
    const reader = createEdgeReader('logs/c1.log');
    reader.finish();
    expect(() => reader.push(bytesOf('1,1\n'))).toThrow(RangeError);
    expect(() => reader.finish()).toThrow(RangeError);
  });
});
