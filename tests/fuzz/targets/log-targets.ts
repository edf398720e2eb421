/** Readers of bytes: tick logs, bare NMEA, single sentences, the guess at what a file is. */
import { failure, type Result, success } from '../../../core/errors.ts';
import type { TickLogReading } from '../../../core/read/logger-run.ts';
import { NmeaParser } from '../../../core/read/nmea.ts';
import { recogniseFile } from '../../../core/read/recognise.ts';
import { joinRuns } from '../../../core/read/runs.ts';
import { createEdgeReader, type EdgeLog } from '../../core/read/edge-log.ts';
import type { Random } from '../../synthetic/random.ts';
import type { Mutation } from '../byte-mutations.ts';
import {
  NMEA_WORDS,
  nmeaFiles,
  TABLE_WORDS,
  TICK_WORDS,
  tallyLogs,
  ticketFiles,
  tickLogs,
} from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';

/** Puts the checksums of sentences right, so that what stands in them is read. */
function resealed(bytes: Uint8Array): Uint8Array {
  const text = Buffer.from(bytes).toString('latin1');
  const right = text.replaceAll(/\$([^$*\n]*)\*[0-9A-Fa-f]{2}/g, (_, body: string) => {
    let sum = 0;
    for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
    return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
  });
  return Buffer.from(right, 'latin1');
}

const mostlyResealed = (bytes: Uint8Array, random: Random) =>
  random.uniform() < 0.6 ? resealed(bytes) : bytes;

/** Counters that fall, wrap or leap from some line on. */
const shiftCounters: Mutation = (bytes, random) => {
  const text = Buffer.from(bytes).toString('latin1');
  const shift = [2 ** 32, -(2 ** 32), 2 ** 31, -1e6, -1e7, 1e9, -20_000][random.integer(7)];
  let left = random.integer(text.length + 1);
  const shifted = text.replaceAll(/^\d{1,15}(?=,)/gm, (written) => {
    left -= 20;
    return left > 0 ? written : String(Math.max(0, Number(written) + shift));
  });
  return Buffer.from(shifted, 'latin1');
};

function readChunked(bytes: Uint8Array, random: Random): Result<TickLogReading<EdgeLog>> {
  const reader = createEdgeReader('some.log');
  const most = [1, 7, 64, 4096, 65_536, bytes.length + 1][random.integer(6)];
  for (let at = 0; at < bytes.length; ) {
    // one byte at a time is for small files
    const size = 1 + random.integer(bytes.length > 50_000 ? 65_536 : most);
    // a reader must not keep the chunk, and the next one may stand in its place
    const chunk = Uint8Array.from(bytes.subarray(at, at + size));
    reader.push(chunk);
    chunk.fill(0x31);
    at += size;
  }
  return reader.finish();
}

function checkTickLog(found: unknown, bytes: Uint8Array): string | undefined {
  const { runs, lines } = found as TickLogReading<EdgeLog>;
  let ends = 0;
  for (const byte of bytes) if (byte === 10) ends++;
  if (lines < ends || lines > ends + 1) return `${lines} lines where ${ends} line ends are`;
  let rows = 0;
  for (const { beam, fixes, moisture, header, tilt } of runs) {
    rows += beam.tick_us.length + moisture.tick_us.length + header.tick_us.length + tilt.tick_us.length;
    rows += fixes.tick_us.length;
    for (const { tick_us } of [beam, moisture, header, tilt]) {
      for (let i = 1; i < tick_us.length; i++) if (!(tick_us[i] >= tick_us[i - 1])) return 'counters fall';
    }
    if (beam.dark.some((state) => state > 1) || header.up.some((state) => state > 1))
      return 'a state above 1';
    const outside = (column: Float64Array, limit: number) =>
      column.some((degrees) => Math.abs(degrees) > limit);
    if (outside(fixes.latitude_deg, 90) || outside(fixes.longitude_deg, 180)) return 'a fix off the globe';
  }
  // NULs break a line in two
  const nuls = bytes.reduce((sum, byte) => sum + (byte === 0 ? 1 : 0), 0);
  return rows > lines + nuls ? `${rows} rows of ${lines} lines` : undefined;
}

/** Some thousand runs of next to nothing: two dozen columns each. */
const RUNS_BYTES = 16e6;

export const LOG_TARGETS: readonly FuzzTarget[] = [
  {
    name: 'tick log',
    corpus: tickLogs,
    words: TICK_WORDS,
    ownMutations: [shiftCounters],
    finish: mostlyResealed,
    read: readChunked,
    check: checkTickLog,
    free_bytes: RUNS_BYTES,
  },
  {
    name: 'NMEA file',
    corpus: nmeaFiles,
    words: NMEA_WORDS,
    ownMutations: [],
    finish: mostlyResealed,
    read: readChunked,
    check: checkTickLog,
    free_bytes: RUNS_BYTES,
  },
  {
    name: 'NMEA sentence',
    corpus: () => NMEA_WORDS.map((word) => Buffer.from(word.trim(), 'latin1')),
    words: NMEA_WORDS,
    ownMutations: [],
    finish: mostlyResealed,
    read: (bytes) => {
      const parsed = new NmeaParser().parse(bytes, 0, bytes.length);
      if (typeof parsed === 'object') return success(parsed);
      return failure({ code: parsed, source: 'some.log', text: 'Refused.' });
    },
  },
  {
    name: 'runs laid together',
    corpus: tickLogs,
    words: TICK_WORDS,
    ownMutations: [shiftCounters],
    finish: mostlyResealed,
    read: (bytes, random, choice) => {
      // two files of one log: what stands before some place, and what stands from there on
      const cut = (choice * 7919) % (bytes.length + 1);
      const readings = [
        readChunked(bytes.subarray(0, cut), random),
        readChunked(bytes.subarray(cut), random),
      ];
      return success(joinRuns(readings.flatMap((reading) => (reading.ok ? [reading.value] : []))));
    },
    free_bytes: 2 * RUNS_BYTES,
  },
  {
    name: 'guess of the kind',
    corpus: () => [...tickLogs(), ...nmeaFiles(), ...tallyLogs(), ...ticketFiles()],
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes) => {
      const { kind, reason } = recogniseFile('some.file', bytes.subarray(0, 65_536));
      return failure({ code: kind, source: 'some.file', text: reason });
    },
  },
];
