import { describe, expect, it } from 'vitest';
import { HEAD_LENGTH, recogniseFile } from '../../../core/read/recognise.ts';
import { bytesOf, sealed } from './log-text.ts';

const RMC = sealed('GPRMC,132819.60,A,4134.5,N,09345.03,W,5,92.3,180320,,,A');

describe('recogniseFile', () => {
  it.each([
    [
      'a tick log',
      `# c1\nt_us,payload\n100,1\n150,${RMC}\n200,0\n250,M,14.5\n300,H,1\n350,T,1,2\n`,
      'tick_log',
    ],
    ['bare beam edges', 't_us,beam\n100,1\n200,0\n300,1\n', 'tick_log'],
    [
      'a damaged tick log',
      `00,1\n\u0000\u0000\n100,1\n20\n300,0\n${'x'.repeat(40)}\n400,1\n500,0\n`,
      'tick_log',
    ],
    ['bare NMEA', `# a receiver\r\n${RMC}\r\n${sealed('GPGSV,1,1,00')}\r\n${RMC.slice(0, 20)}\r\n`, 'nmea'],
    ['a tally log', 'time,paddles,dark_ms,lat\n2026-09-14T13:05:00Z,10,420,42\n', 'tally_log'],
    ['a tally log of ticks', 'Time;Dark_ms;Paddles\n1000;420;10\n', 'tally_log'],
    ['tickets', 'Ticket,Field,Net_lb\n1,Home,33000\n', 'tickets'],
    ['tickets of gross and tare', 'ticket\tgross_kg\ttare_kg\n1\t24000\t9000\n', 'tickets'],
    ['a boundary', '\n {"type": "FeatureCollection", "features": []}', 'boundary'],
    ['a table', 'Longitude,Latitude,Flow\n-93.97,43.92,16.5\n-93.98,43.93,22.5\n', 'delimited'],
    ['a table with quoted names', '"lon";"lat"\n1,5;2\n', 'delimited'],
    ['another JSON', '{"name": "x"}', 'unknown'],
    ['a letter', 'Dear Sir\nthe log is lost\n', 'unknown'],
    ['comments alone', '# nothing\n', 'unknown'],
    ['nothing', '', 'unknown'],
  ])('%s', (_, text, kind) => {
    const { kind: found, reason } = recogniseFile('some.file', bytesOf(text));
    expect(found).toBe(kind);
    expect(reason).toMatch(/\.$/);
  });

  it('says what a binary file looks like', () => {
    const png = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0);
    expect(recogniseFile('a.csv', png)).toEqual({
      kind: 'unknown',
      reason: 'a.csv looks like a picture (PNG).',
    });
  });

  it('ignores the line that the end of the head cuts', () => {
    const text = '100,1\n200,0\n'.repeat(8000).slice(0, HEAD_LENGTH - 3);
    const head = bytesOf(`${text}${'#'.repeat(HEAD_LENGTH)}`).subarray(0, HEAD_LENGTH);
    expect(recogniseFile('a', head).kind).toBe('tick_log');
  });

  it('sees through a byte-order mark', () => {
    expect(recogniseFile('a', bytesOf('\uFEFFtime,paddles,dark_ms\n1,2,3\n')).kind).toBe('tally_log');
  });
});
