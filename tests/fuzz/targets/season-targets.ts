/** The whole chain with one file of the season spoilt: never throws, the ledger closes, and every output can be written. */
import { createHash } from 'node:crypto';
import { failure, type Result } from '../../../core/errors.ts';
import { geojsonPieces } from '../../../core/export/geojson.ts';
import { reportPieces } from '../../../core/export/report/report.ts';
import { summaryText } from '../../../core/export/summary-json.ts';
import { chatterOf, readLog } from '../../../core/pipeline/log-reader.ts';
import { runPipeline } from '../../../core/pipeline.ts';
import type { LedgerRow, SeasonResult } from '../../../core/result.ts';
import type { Season } from '../../../core/season.ts';
import { decodeSeason, SEASON_FILE } from '../../../core/season-file.ts';
import { decodeText } from '../../../electron/host/text-decoding.ts';
import { BOUNDARY_WORDS, SHEET_WORDS, smallSeason, TABLE_WORDS, TICK_WORDS } from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';
import { jsonMutation } from '../json-mutations.ts';
import { filesIn, flows, type SeasonFiles, spoilt, storm, tallies } from '../season-corpus.ts';

/** As a host does: the sheet, then what it lists, then the chain, then every output. */
function chainOf(files: SeasonFiles): Result<SeasonResult> {
  const decoded = decodeSeason(decodeText(files.get(SEASON_FILE) ?? new Uint8Array()).text);
  if (!decoded.ok) return decoded;
  const season = decoded.value;
  const chatter = chatterOf(season);
  const hashes = new Map<string, string>();
  const missing: string[] = [];
  const file = (path: string): Uint8Array => {
    const bytes = files.get(path);
    if (bytes === undefined) missing.push(path);
    hashes.set(
      path,
      createHash('sha256')
        .update(bytes ?? '')
        .digest('hex'),
    );
    return bytes ?? new Uint8Array();
  };
  const listed = season.logs.flatMap(({ files: paths, mapping }) => paths.map((path) => ({ path, mapping })));
  const logs = listed
    .filter(({ mapping }) => mapping === undefined)
    .map(({ path }) => [path, readLog(path, file(path), chatter)] as const);
  const texts = [
    ...listed.filter(({ mapping }) => mapping !== undefined).map(({ path }) => path),
    ...(season.tickets ?? []),
    ...season.fields.flatMap(({ boundary }) => (boundary === undefined ? [] : [boundary])),
  ].map((path) => [path, decodeText(file(path)).text] as const);
  if (missing.length > 0) {
    return failure({ code: 'no_such_file', source: SEASON_FILE, text: `A listed file is not there.` });
  }
  const sources = { logs: new Map(logs), chatter, texts: new Map(texts), hashes };
  const run = runPipeline(season, sources, {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'fuzz',
  });
  const given = [...files.values()].map((bytes) => Buffer.from(bytes).toString('latin1')).join('');
  if (run.ok) writeAll(season, run.value, run.notices, given);
  return run;
}

/** Every output; `given` is all that the files say, which may be quoted. */
function writeAll(
  season: Season,
  result: SeasonResult,
  notices: Result<unknown>['notices'],
  given: string,
): void {
  JSON.parse([...geojsonPieces(season, result, { points: 'all' })].join(''));
  JSON.parse(summaryText(result.summary));
  const page = [...reportPieces(season, result, notices)].join('');
  const left = ['undefined', 'NaN', '[object'].find((word) => page.includes(word) && !given.includes(word));
  if (left === undefined) return;
  const at = page.indexOf(left);
  throw new Error(`the report says ${page.slice(at - 60, at + 30)}`);
}

/** Beam = mapped + screened + outside + not cutting, to 1e-9 of the total. */
function ledgerFault({
  field,
  machine,
  beam_kg,
  mapped_kg,
  screened_kg,
  outside_field_kg,
  not_cutting_kg,
}: LedgerRow) {
  let sum_kg = mapped_kg + outside_field_kg + not_cutting_kg;
  for (const kg of Object.values(screened_kg)) sum_kg += kg;
  const parts = [beam_kg, sum_kg];
  if (!parts.every(Number.isFinite)) return `the ledger of ${field}, ${machine} holds ${parts.join(' and ')}`;
  const open_kg = Math.abs(beam_kg - sum_kg);
  return open_kg > 1e-9 * Math.max(1, Math.abs(beam_kg))
    ? `the ledger is open by ${open_kg} of ${beam_kg} kg`
    : undefined;
}

function checkResult(found: unknown): string | undefined {
  const { summary, points } = found as SeasonResult;
  for (const row of summary.mass_ledger) {
    const fault = ledgerFault(row);
    if (fault) return fault;
  }
  for (const { total, kept, screened } of summary.fields.map((field) => field.points)) {
    let sum = kept;
    for (const count of Object.values(screened)) sum += count;
    if (sum !== total) return `${total} points, but ${sum} kept or screened`;
  }
  return points.length === summary.fields.length ? undefined : `points of ${points.length} fields`;
}

const CHAIN = {
  check: checkResult,
  budget_ms: 4000,
  us_per_byte: 20,
  free_bytes: 200e6,
  share: 0.01,
} as const;

export const SEASON_TARGETS: readonly FuzzTarget[] = [
  {
    ...CHAIN,
    name: 'season, log',
    corpus: () => filesIn(smallSeason(), 'logs/'),
    words: TICK_WORDS,
    ownMutations: [storm],
    read: (bytes) => chainOf(spoilt(smallSeason(), 'logs/', bytes)),
  },
  {
    ...CHAIN,
    name: 'season, tallies',
    corpus: () => filesIn(tallies(), 'logs/'),
    words: TABLE_WORDS,
    ownMutations: [storm],
    read: (bytes) => chainOf(spoilt(tallies(), 'logs/', bytes)),
  },
  {
    ...CHAIN,
    name: 'season, flows',
    corpus: () => filesIn(flows(), 'logs/'),
    words: TABLE_WORDS,
    ownMutations: [storm],
    read: (bytes) => chainOf(spoilt(flows(), 'logs/', bytes)),
  },
  {
    ...CHAIN,
    name: 'season, tickets',
    corpus: () => filesIn(smallSeason(), 'tickets/'),
    words: TABLE_WORDS,
    ownMutations: [],
    read: (bytes) => chainOf(spoilt(smallSeason(), 'tickets/', bytes)),
  },
  {
    ...CHAIN,
    name: 'season, boundary',
    corpus: () => filesIn(smallSeason(), 'boundaries/'),
    words: BOUNDARY_WORDS,
    ownMutations: [jsonMutation, jsonMutation, jsonMutation],
    read: (bytes) => chainOf(spoilt(smallSeason(), 'boundaries/', bytes)),
  },
  {
    ...CHAIN,
    name: 'season, sheet',
    corpus: () => filesIn(smallSeason(), SEASON_FILE),
    words: SHEET_WORDS,
    ownMutations: [jsonMutation, jsonMutation, jsonMutation],
    read: (bytes) => chainOf(spoilt(smallSeason(), SEASON_FILE, bytes)),
  },
];
