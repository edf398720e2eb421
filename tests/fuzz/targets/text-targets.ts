/** Readers of text: tables, tickets, outlines, season sheets. */
import { readTreatments, treatmentChoices } from '../../../core/analysis/comparison/treatment-file.ts';
import { type Result, success } from '../../../core/errors.ts';
import { type BoundaryPolygons, readBoundary } from '../../../core/read/boundaries.ts';
import { readMappedLog } from '../../../core/read/column-mapping.ts';
import { parseDelimited } from '../../../core/read/delimited.ts';
import { readTallyLog } from '../../../core/read/tally-log.ts';
import { readTickets } from '../../../core/read/tickets.ts';
import type { ColumnMappingSheet, Season } from '../../../core/season.ts';
import { decodeSeason, encodeSeason } from '../../../core/season-file.ts';
import { decodeText } from '../../../electron/host/text-decoding.ts';
import {
  BOUNDARY_WORDS,
  boundaries,
  mappedLogs,
  SHEET_WORDS,
  sheets,
  TABLE_WORDS,
  tallyLogs,
  textFiles,
  ticketFiles,
  treatmentFiles,
} from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';
import { deepNest, jsonMutation } from '../json-mutations.ts';

const MAPPINGS: readonly ColumnMappingSheet[] = [
  {
    id: 'plain',
    columns: [
      { quantity: 'longitude', column: 'lon' },
      { quantity: 'latitude', column: 'lat' },
      { quantity: 'time', column: 'time' },
      { quantity: 'mass_flow', column: 'flow', unit: 't/h' },
      { quantity: 'speed', column: 'speed', unit: 'km/h' },
      { quantity: 'swath', column: 'swath' },
      { quantity: 'moisture', column: 'moisture', unit: 'fraction' },
      { quantity: 'field', column: 'field' },
    ],
  },
  {
    id: 'apart',
    delimiter: ';',
    decimal: ',',
    utc_offset: '+02:00',
    columns: [
      { quantity: 'longitude', column: 'lon' },
      { quantity: 'latitude', column: 'lat' },
      { quantity: 'date', column: 'date', unit: 'dmy' },
      { quantity: 'clock_time', column: 'clock' },
      { quantity: 'mass', column: 'mass', unit: 'ston' },
      { quantity: 'header_state', column: 'header', unit: '1_up' },
    ],
  },
  {
    id: 'serial',
    columns: [
      { quantity: 'longitude', column: 1 },
      { quantity: 'latitude', column: 2 },
      { quantity: 'time', column: 3, unit: 'days_1899_12_30' },
      { quantity: 'volume_flow', column: 4, unit: 'L/s' },
      { quantity: 'interval', column: 4, unit: 'min' },
    ],
  },
  {
    id: 'bare',
    delimiter: ' ',
    has_header: false,
    columns: [
      { quantity: 'longitude', column: 1 },
      { quantity: 'latitude', column: 2, unit: 'rad' },
      { quantity: 'time', column: 3, unit: 'unix_ms' },
      { quantity: 'mass', column: 4 },
      { quantity: 'heading', column: 4 },
    ],
  },
  {
    id: 'dates',
    columns: [
      { quantity: 'longitude', column: 'lon' },
      { quantity: 'latitude', column: 'lat' },
      { quantity: 'time', column: 'time', unit: 'mdy' },
      { quantity: 'mass_flow', column: 'flow' },
    ],
  },
];

const asText = (bytes: Uint8Array) => decodeText(bytes).text;

function checkSheet(found: unknown): string | undefined {
  const season = found as Season;
  const again = decodeSeason(encodeSeason(season));
  if (!again.ok) return `does not decode again: ${again.error.text}`;
  return encodeSeason(again.value) === encodeSeason(season)
    ? undefined
    : 'changes when it is written and read again';
}

function checkBoundary(found: unknown): string | undefined {
  for (const polygon of (found as BoundaryPolygons).polygons) {
    if (polygon.length === 0) return 'a polygon without a ring';
    for (const ring of polygon) {
      if (ring.length < 8 || ring.length % 2 !== 0) return `a ring of ${ring.length} numbers`;
      if (ring[0] !== ring[ring.length - 2] || ring[1] !== ring[ring.length - 1]) return 'an open ring';
      for (let i = 0; i < ring.length; i += 2) {
        if (!(Math.abs(ring[i]) <= 180 && Math.abs(ring[i + 1]) <= 90)) return 'a corner off the globe';
      }
    }
  }
  return undefined;
}

/** Lines of no byte at all take as long as others, and are met up to three times: header, decimal sign, rows. */
const TABLE_US_PER_BYTE = 4;

export const TEXT_TARGETS: readonly FuzzTarget[] = [
  {
    name: 'tally log',
    us_per_byte: TABLE_US_PER_BYTE,
    corpus: tallyLogs,
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes, _, choice) =>
      readTallyLog(choice % 2 === 0 ? Buffer.from(bytes).toString('latin1') : asText(bytes), 'some.csv'),
  },
  {
    name: 'delimited text',
    us_per_byte: TABLE_US_PER_BYTE,
    corpus: () => [...mappedLogs(), ...tallyLogs(), ...ticketFiles()],
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes): Result<unknown> => {
      const table = parseDelimited(asText(bytes), 'some.csv');
      if (!table.ok) return table;
      const { header, headerLine, lineCount, delimiter, decimal } = table.value;
      return success({ header, headerLine, lineCount, delimiter, decimal, rows: [...table.value.rows] });
    },
  },
  {
    name: 'mapped log',
    us_per_byte: TABLE_US_PER_BYTE,
    corpus: mappedLogs,
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes, _, choice) => readMappedLog(asText(bytes), 'some.csv', MAPPINGS[choice % MAPPINGS.length]),
  },
  {
    name: 'tickets',
    us_per_byte: TABLE_US_PER_BYTE,
    corpus: ticketFiles,
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes) => readTickets(asText(bytes), 'some.csv'),
  },
  {
    name: 'boundary',
    corpus: boundaries,
    words: BOUNDARY_WORDS,
    ownMutations: [jsonMutation, jsonMutation, jsonMutation, deepNest],
    read: (bytes) => readBoundary(asText(bytes), 'some.geojson'),
    check: checkBoundary,
  },
  {
    name: 'treatments',
    corpus: treatmentFiles,
    words: [...BOUNDARY_WORDS, 'hybrid', 'rep', 'rate', '__proto__'],
    ownMutations: [jsonMutation, jsonMutation, jsonMutation, deepNest],
    read: (bytes) => {
      const text = asText(bytes);
      const choices = treatmentChoices(text, 'some.geojson');
      if (!choices.ok) return choices;
      const treatment = choices.value.guess?.treatment ?? 'hybrid';
      return readTreatments(text, { path: 'some.geojson', treatment });
    },
  },
  {
    name: 'season.json',
    corpus: sheets,
    words: SHEET_WORDS,
    ownMutations: [jsonMutation, jsonMutation, jsonMutation, deepNest],
    read: (bytes) => decodeSeason(asText(bytes)),
    check: checkSheet,
  },
  {
    name: 'text decoding',
    corpus: textFiles,
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes) => success(decodeText(bytes)),
  },
];
