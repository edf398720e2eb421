/** Laws of the readers of text: nothing makes them throw, and every failure is a whole sentence that names the file. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../../core/errors.ts';
import { readBoundary } from '../../../core/read/boundaries.ts';
import { readMappedLog } from '../../../core/read/column-mapping.ts';
import { recogniseFile } from '../../../core/read/recognise.ts';
import { readTallyLog } from '../../../core/read/tally-log.ts';
import { readTickets } from '../../../core/read/tickets.ts';

const cell = fc.oneof(
  fc.constantFrom(
    '',
    '1',
    '-93.5',
    '42',
    '1,5',
    '2026-09-14T13:05:00Z',
    '13:05',
    '"',
    '""',
    'wet',
    '1e400',
    '٣',
    '#',
  ),
  fc.string({ maxLength: 6 }),
);
const column = fc.constantFrom(
  'time',
  'paddles',
  'dark_ms',
  'lat',
  'lon',
  'net_kg',
  'gross_lb',
  'tare_lb',
  'start',
  'end',
  'ticket',
  '',
);
const sign = fc.constantFrom(',', ';', '\t');
const table = fc
  .tuple(
    sign,
    fc.array(column, { maxLength: 6 }),
    fc.array(fc.array(cell, { maxLength: 7 }), { maxLength: 8 }),
    fc.constantFrom('\n', '\r\n', '\r'),
  )
  .map(([delimiter, header, rows, newline]) =>
    [header, ...rows].map((cells) => cells.join(delimiter)).join(newline),
  );
const text = fc.oneof(table, fc.string({ maxLength: 80 }), fc.json({ maxDepth: 3 }));

const MAPPING = {
  id: 'm',
  columns: [
    { quantity: 'longitude', column: 'lon' },
    { quantity: 'latitude', column: 'lat' },
    { quantity: 'time', column: 'time' },
    { quantity: 'mass', column: 'net_kg' },
  ],
} as const;

const READERS: readonly [string, (content: string) => Result<unknown>][] = [
  ['readTallyLog', (content) => readTallyLog(content, 'some.file')],
  ['readTickets', (content) => readTickets(content, 'some.file')],
  ['readBoundary', (content) => readBoundary(content, 'some.file')],
  ['readMappedLog', (content) => readMappedLog(content, 'some.file', MAPPING)],
];

describe.each(READERS)('%s', (_, read) => {
  it('answers any text with a result or a sentence', () => {
    fc.assert(
      fc.property(text, (content) => {
        const result = read(content);
        if (!result.ok) expect(result.error.text).toMatch(/^some\.file[\s\S]*[.?]$/);
        for (const notice of result.notices) expect(notice.text).toMatch(/^some\.file[\s\S]*[.?]$/);
      }),
      { numRuns: 250 },
    );
  });
});

describe('recogniseFile', () => {
  it('answers any bytes with a reason', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.uint8Array({ maxLength: 200 }),
          text.map((content) => new TextEncoder().encode(content)),
        ),
        (head) => {
          expect(recogniseFile('some.file', head).reason).toMatch(/\.$/);
        },
      ),
      { numRuns: 250 },
    );
  });
});
