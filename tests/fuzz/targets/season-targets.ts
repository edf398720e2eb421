/** The whole chain with one file of the season spoilt: never throws, the ledger closes, and every output can be written. */
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { failure, type Result, success } from '../../../core/errors.ts';
import { geojsonPieces } from '../../../core/export/geojson.ts';
import { reportPieces } from '../../../core/export/report/report.ts';
import { summaryText } from '../../../core/export/summary-json.ts';
import { chatterOf, readLog } from '../../../core/pipeline/log-reader.ts';
import { runPipeline } from '../../../core/pipeline.ts';
import type { LedgerRow, SeasonResult } from '../../../core/result.ts';
import type { Season } from '../../../core/season.ts';
import { decodeSeason, SEASON_FILE } from '../../../core/season-file.ts';
import { main } from '../../../electron/command/main.ts';
import { diskLayer } from '../../../electron/host/file-layer.ts';
import { decodeText } from '../../../electron/host/text-decoding.ts';
import { madeRows, tableText } from '../../core/import/made-flow-log.ts';
import { scene, simulate } from '../../synthetic/index.ts';
import { BYTE_MUTATIONS, type Mutation, oneOf } from '../byte-mutations.ts';
import { BOUNDARY_WORDS, bytesOf, SHEET_WORDS, smallSeason, TABLE_WORDS, TICK_WORDS } from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';
import { jsonMutation } from '../json-mutations.ts';

type Files = ReadonlyMap<string, Uint8Array>;

/** The small season as a tally log, and as a log that carries the flow already. */
function tallySeason(): Files {
  return simulate(
    scene('tallies')
      .seed(6)
      .field({
        corners: [
          [-40, -60],
          [40, -60],
          [40, 60],
          [-40, 60],
        ],
      })
      .machine({ logger: { files: 'tally' } })
      .loads({ load_t: 1.5 }),
  ).files;
}

function flowSeason(): Files {
  const rows = madeRows({ passes: 5, rows_a_pass: 60 });
  const log = tableText(rows, [
    ['lon', ({ longitude_deg }) => longitude_deg.toFixed(7)],
    ['lat', ({ latitude_deg }) => latitude_deg.toFixed(7)],
    ['time', ({ utc_s }) => utc_s],
    ['flow', ({ flow_kg_s }) => flow_kg_s.toFixed(2)],
    ['moisture', ({ moisture_pct }) => moisture_pct.toFixed(1)],
    ['speed', ({ speed_m_s }) => speed_m_s.toFixed(2)],
    ['swath', ({ swath_m }) => swath_m.toFixed(2)],
    ['up', ({ up }) => up],
  ]);
  const columns = [
    { quantity: 'longitude', column: 'lon' },
    { quantity: 'latitude', column: 'lat' },
    { quantity: 'time', column: 'time', unit: 'unix_s' },
    { quantity: 'mass_flow', column: 'flow' },
    { quantity: 'moisture', column: 'moisture' },
    { quantity: 'speed', column: 'speed' },
    { quantity: 'swath', column: 'swath' },
    { quantity: 'header_state', column: 'up', unit: '1_up' },
  ];
  const sheet = {
    format: 'sheaflight-season/1',
    name: 'flows',
    machines: [{ id: 'c1', name: 'combine 1', header: { width_m: 9.144 } }],
    fields: [{ name: 'Home', crop: 'wheat' }],
    logs: [{ machine: 'c1', files: ['logs/flow.csv'], mapping: 'm' }],
    tickets: ['tickets/tickets.csv'],
    mappings: [{ id: 'm', columns }],
  };
  return new Map([
    [SEASON_FILE, bytesOf(JSON.stringify(sheet))],
    ['logs/flow.csv', bytesOf(log)],
    ['tickets/tickets.csv', bytesOf('ticket,field,net_kg\n1,Home,5200\n')],
  ]);
}

const tallies = once(tallySeason);
const flows = once(flowSeason);

function once(make: () => Files): () => Files {
  let made: Files | undefined;
  return () => {
    made ??= make();
    return made;
  };
}

/** A season with `bytes` in the place of the file whose path begins with `start`. */
function spoilt(season: Files, start: string, bytes: Uint8Array): Files {
  const path = [...season.keys()].find((one) => one.startsWith(start)) ?? start;
  return new Map([...season, [path, bytes]]);
}

function filesIn(season: Files, start: string): Uint8Array[] {
  return [...season].filter(([path]) => path.startsWith(start)).map(([, bytes]) => bytes);
}

/** As a host does: the sheet, then what it lists, then the chain, then every output. */
function chainOf(files: Files): Result<SeasonResult> {
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

/** Dozens of mutations: one alone is lost among ten thousand lines. */
const storm: Mutation = (bytes, random, soil) => {
  let spoiled = bytes;
  for (let i = random.integer(40); i >= 0; i--)
    spoiled = oneOf(LOCAL_MUTATIONS, random)(spoiled, random, soil);
  return spoiled;
};
/** Those that leave most of the file alone. */
const LOCAL_MUTATIONS = BYTE_MUTATIONS.filter(
  ({ name }) => !/^(truncate|cutFront|crossOver|otherEncoding|otherLineEnds|otherSigns)$/.test(name),
);

let scratch: string | undefined;

/** `sheaflight build` on the season as a folder; a fault of the program itself is an error. */
async function built(files: Files): Promise<Result<unknown>> {
  if (scratch === undefined) {
    const made = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-fuzz-')));
    process.once('exit', () => rmSync(made, { recursive: true, force: true }));
    scratch = made;
  }
  const folder = join(scratch, 'season');
  try {
    for (const [path, bytes] of files) {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      writeFileSync(join(folder, path), bytes);
    }
    let out = '';
    let err = '';
    const code = await main(['build', folder, '--out', join(scratch, 'out'), '--json'], {
      out: (text) => {
        out += text;
      },
      err: (text) => {
        err += text;
      },
      isTerminal: false,
      layer: diskLayer,
    });
    if (code !== 0 && code !== 1 && code !== 2) throw new Error(`exit code ${code}: ${err}`);
    const said = err.replaceAll(scratch, '').trim().split('\n');
    if (code === 2) return failure({ code: 'refused', source: 'command', text: said[0] });
    JSON.parse(out);
    return success({ code, out });
  } finally {
    rmSync(folder, { recursive: true, force: true });
    rmSync(join(scratch, 'out'), { recursive: true, force: true });
  }
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
  {
    ...CHAIN,
    name: 'built by command',
    corpus: () => filesIn(flows(), 'logs/'),
    words: TABLE_WORDS,
    ownMutations: [storm],
    read: (bytes, _, choice) => built(spoilt(flows(), ['logs/', 'tickets/', SEASON_FILE][choice % 3], bytes)),
    check: () => undefined,
  },
];
