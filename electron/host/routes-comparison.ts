/** Routes of what compares: strips, totals and margins of the last build, and files of treatments. */
import { readFile, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { treatmentChoices } from '../../core/analysis/comparison/treatment-file.ts';
import type {
  ComparisonsReply,
  StabilityAbout,
  TreatmentsBody,
} from '../../core/analysis/comparison-requests.ts';
import {
  COLUMN_WIRE_TYPE,
  type ColumnArray,
  type ColumnBlock,
  encodeColumns,
} from '../../core/column-wire.ts';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import { comparisonFiles } from '../../core/export/comparison/comparison-files.ts';
import { stabilityFigures, stabilityFiles } from '../../core/export/comparison/stability-files.ts';
import type { SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { encodeSeason } from '../../core/season-file.ts';
import { cellEast_m, cellNorth_m, gridCorners } from '../../core/surface/cell-grid.ts';
import { writeFiles } from './atomic-write.ts';
import { comparisonsOf, treatmentText } from './comparisons.ts';
import type { RouteHandlers } from './host-services.ts';
import { importFile } from './import-file.ts';
import { generatedBy } from './program-version.ts';
import { bytesReply, seasonReply } from './replies.ts';
import { notOpen } from './routes-seasons.ts';
import { openSeasonFolder } from './season-folder.ts';
import { type BuiltSeason, type Session, sentFile, type Upload } from './season-sessions.ts';
import { type MadeStability, stabilityOfSeasons } from './season-stability.ts';
import { decodeTextFile } from './text-decoding.ts';

/** The last answer about each result: the window asks again whenever it shows them. */
const KEPT = new WeakMap<SeasonResult, { readonly key: string; readonly reply: Promise<ComparisonsReply> }>();

type ComparisonRoute =
  | 'readComparisons'
  | 'writeComparisons'
  | 'readTreatments'
  | 'addTreatments'
  | 'readStability';

export const COMPARISON_ROUTES: RouteHandlers<ComparisonRoute> = {
  readComparisons: async ({ host, steps, query }) => {
    const built = builtSession(host.sessions.get(steps.season));
    if (!built.ok) return built;
    return success(await keptComparisons(built.value, query.get('field') ?? undefined));
  },

  writeComparisons: async ({ host, steps }) => {
    const built = builtSession(host.sessions.get(steps.season));
    if (!built.ok) return built;
    const { store } = built.value;
    if (store.read_only !== undefined) return failure(store.read_only);
    const {
      build: _build,
      built_revision: _revision,
      ...made
    } = await keptComparisons(built.value, undefined);
    const written = await writeFiles(join(store.folder, 'out'), comparisonFiles(made), {
      layer: store.layer,
    });
    if (!written.ok) return written;
    const files = written.value.map(({ path, bytes }) => ({ path: `out/${basename(path)}`, bytes }));
    return success({ files });
  },

  readTreatments: async ({ host, steps, query }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const upload = query.get('upload');
    const path = query.get('path');
    if (upload !== null) {
      const sent = sentFile(session, upload);
      if (!sent.ok) return sent;
      const read = await uploadedText(sent.value);
      return read.ok ? treatmentChoices(read.value, sent.value.source_name) : read;
    }
    const read = await treatmentText(session.store.folder, path ?? '');
    return read.ok ? treatmentChoices(read.value, path ?? '') : read;
  },

  addTreatments: async ({ host, steps, body }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const added = await addTreatments(session, body);
    return added.ok ? success(seasonReply(session, added.notices)) : added;
  },

  readStability: async ({ host, body: { folders, field, sheet = {}, write } }) => {
    const signal = new AbortController().signal;
    const runOf = async (folder: string) => {
      const open = host.sessions.all().find(({ store }) => store.folder === folder);
      if (open?.built?.revision === open?.store.revision && open?.built !== undefined)
        return success(open.built.run);
      const found = await openSeasonFolder(folder);
      if (!found.ok) return found;
      const task = { folder: found.value.folder, sheet: encodeSeason(found.value.season) };
      return host.pool.run(task, { onProgress: () => undefined, signal });
    };
    const made = await stabilityOfSeasons({ folders, field, sheet }, runOf, () => undefined);
    if (!made.ok) return made;
    const { stability, frame } = made.value;
    if (write === 'out') {
      const first = await openSeasonFolder(folders[0]);
      if (!first.ok) return first;
      const files = stabilityFiles(stability, frame, { field, generated_by: generatedBy() });
      const written = await writeFiles(join(first.value.folder, 'out'), files);
      if (!written.ok) return written;
    }
    const block = encodeColumns(stabilityBlock(made.value, field, made.notices));
    return bytesReply(block as Uint8Array<ArrayBuffer>, COLUMN_WIRE_TYPE);
  },
};

function stabilityBlock(
  { stability, frame }: MadeStability,
  field: string,
  notices: readonly Notice[],
): ColumnBlock {
  const { grid, cells, seasons } = stability;
  const middles = frame.toGeographic(
    Float64Array.from(cells, (cell) => cellEast_m(grid, cell)),
    Float64Array.from(cells, (cell) => cellNorth_m(grid, cell)),
  );
  const about = {
    field,
    ...grid,
    corners: JSON.stringify(gridCorners(frame, grid)),
    figures: JSON.stringify(stabilityFigures(stability)),
    notices: JSON.stringify(notices),
  } satisfies StabilityAbout;
  const columns = new Map<string, ColumnArray>([
    ['cell', cells],
    ...Object.entries(middles),
    ['mean_pct', stability.mean_pct],
    ['cv_pct', stability.cv_pct],
    ['seasons', stability.seasons_count],
    ['class', stability.class],
    ...seasons.map(({ percent }, k): [string, ColumnArray] => [`season_${k + 1}_pct`, percent]),
  ]);
  return { about, rows: cells.length, columns };
}

type BuiltSession = Session & { readonly built: BuiltSeason };

function builtSession(session: Session | undefined): Result<BuiltSession> {
  if (session === undefined) return failure(notOpen());
  if (session.built !== undefined) return success(session as BuiltSession);
  const text = 'This season has not been built yet; build it first.';
  return failure({ code: 'no_result', source: 'season', text });
}

function keptComparisons(
  { store, built }: BuiltSession,
  field: string | undefined,
): Promise<ComparisonsReply> {
  const { folder, document: season } = store;
  const { build, revision, run } = built;
  const { result } = run;
  const { comparisons, settings, units, crops, fields, machines, files } = season;
  const asked = { comparisons, settings, units, crops, fields, machines, files, field, build };
  const key = JSON.stringify(asked);
  const known = KEPT.get(result);
  if (known?.key === key) return known.reply;
  const reply = comparisonsOf(folder, { season, result }, { field }).then(
    (made): ComparisonsReply => ({ ...made, build, built_revision: revision }),
  );
  KEPT.set(result, { key, reply });
  reply.catch(() => KEPT.delete(result));
  return reply;
}

/** The file into `boundaries/`, its record and the comparison into the sheet. What cannot be read is refused before anything is written. */
async function addTreatments(
  session: Session,
  { revision, upload, comparison }: TreatmentsBody,
): Promise<Result<Season>> {
  const { store } = session;
  if (store.read_only !== undefined) return failure(store.read_only);
  const sent = sentFile(session, upload);
  if (!sent.ok) return sent;
  const text = await uploadedText(sent.value);
  if (!text.ok) return text;
  const choices = treatmentChoices(text.value, sent.value.source_name);
  if (!choices.ok) return choices;
  const { path, source_name } = sent.value;
  const copied = await importFile(store.folder, path, {
    into: 'boundaries',
    season: store.document,
    source_name,
  });
  if (!copied.ok) return copied;
  const { record, same_as } = copied.value;
  const file = { path: record.path, ...comparison.file };
  const edited = await store.edit(revision, {
    kind: 'several',
    name: `Comparison ${comparison.name} by ${source_name} in ${comparison.field}`,
    edits: [
      { kind: 'record_files', files: [record] },
      { kind: 'set_comparison', comparison: { ...comparison, file } },
    ],
  });
  if (!edited.ok && same_as === undefined) await rm(join(store.folder, record.path), { force: true });
  return edited;
}

async function uploadedText({ path, source_name }: Upload): Promise<Result<string>> {
  const decoded = decodeTextFile(await readFile(path), source_name);
  return decoded.ok ? success(decoded.value.text) : decoded;
}
