/** What an import looks at: any file, its kind found out, its columns guessed, its name made fit for every disk. */
import { failure, type Notice, type Result, success } from '../../../core/errors.ts';
import type { FileInspection } from '../../../core/import/file-inspection.ts';
import { inspectFile } from '../../../core/import/inspect-file.ts';
import { guessMapping, type MappingGuess } from '../../../core/import/mapping-guess.ts';
import { isPrintable } from '../../../core/shown-text.ts';
import { plainFileName } from '../../../electron/host/file-name.ts';
import { decodeText } from '../../../electron/host/text-decoding.ts';
import {
  boundaries,
  bytesOf,
  mappedLogs,
  nmeaFiles,
  TABLE_WORDS,
  tallyLogs,
  ticketFiles,
  tickLogs,
} from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';
import { HOSTILE_TEXTS } from '../hostile-words.ts';

/** Sentences that are shown, as notices, so that they are looked at like those. */
function said(texts: readonly string[]): Notice[] {
  return texts.map((text) => ({ code: 'said', severity: 'info', source: 'some.file', count: 1, text }));
}

function answerOf(inspection: FileInspection): Result<unknown> {
  const { error, notices, reason, content, ...about } = inspection;
  const guess = content.kind === 'table' && content.guess ? saidBy(content.guess) : [];
  const sentences = [...notices, ...said([reason]), ...guess];
  return error ? failure(error, sentences) : success({ ...about, content }, sentences);
}

function saidBy({ taken, offered, lacking, doubts }: MappingGuess): Notice[] {
  return said([
    ...taken.map(({ reason }) => reason),
    ...offered.map(({ reason }) => reason),
    ...lacking,
    ...doubts,
  ]);
}

function checkGuess(found: unknown): string | undefined {
  const { mapping, taken, confidence } = found as MappingGuess;
  if (!(confidence >= 0 && confidence <= 1)) return `a confidence of ${confidence}`;
  for (const { column } of mapping.columns) {
    if (typeof column === 'string' && (!isPrintable(column) || column.length > 300))
      return `the column ${JSON.stringify(column.slice(0, 100))}, which no sheet can hold`;
  }
  const quantities = taken.map(({ quantity }) => quantity);
  return new Set(quantities).size < quantities.length ? 'one quantity twice' : undefined;
}

/** Names that came from sticks, mails and zips. */
const FILE_NAMES = [
  'combine 1.log',
  'weigh tickets.csv',
  'logs/c1-field.log.gz',
  'Größe.geojson',
  'CON',
  'a.',
];

function checkName(found: unknown): string | undefined {
  const name = found as string;
  if (!isPrintable(name)) return `the name ${JSON.stringify(name)}`;
  if (name === '' || /[/\\:*?"<>|]|^\.|[. ]$/.test(name)) return `the name ${JSON.stringify(name)}`;
  if (Buffer.byteLength(name) > 200) return `a name of ${Buffer.byteLength(name)} bytes`;
  return plainFileName(name, 'file') === name
    ? undefined
    : `${JSON.stringify(name)} changes when made plain again`;
}

export const IMPORT_TARGETS: readonly FuzzTarget[] = [
  {
    name: 'any file',
    corpus: () => [
      ...tickLogs(),
      ...nmeaFiles(),
      ...tallyLogs(),
      ...mappedLogs(),
      ...ticketFiles(),
      ...boundaries(),
    ],
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes) => answerOf(inspectFile('some.file', bytes, { decode: (all) => decodeText(all).text })),
    us_per_byte: 20,
    budget_ms: 300,
    free_bytes: 16e6,
    share: 0.5,
  },
  {
    name: 'guessed columns',
    corpus: mappedLogs,
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes) => {
      const guess = guessMapping(decodeText(bytes).text, 'some.csv');
      return guess.ok ? success(guess.value, saidBy(guess.value)) : guess;
    },
    check: checkGuess,
    us_per_byte: 20,
    budget_ms: 300,
    share: 0.5,
  },
  {
    name: 'file name',
    corpus: () => [...FILE_NAMES, ...HOSTILE_TEXTS].map(bytesOf),
    words: [...HOSTILE_TEXTS, '.part', '.gz', 'NUL', 'aux.txt', '\u2028', '\u061c'],
    ownMutations: [],
    read: (bytes) => success(plainFileName(Buffer.from(bytes).toString('utf8'), 'file')),
    check: checkName,
    us_per_byte: 4,
  },
];
