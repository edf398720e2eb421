/**
 * Takes files into a season: looks into all of them, plans, copies each unchanged, and only then changes the sheet, in one
 * step. Whatever stops it before that step leaves the season as it was, with a few files beside it that the next import
 * of the same files takes for its own.
 */
import { mkdtemp, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, extname, join } from 'node:path';
import type { SingleEdit } from '../../core/edits/season-edit.ts';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { ImportReport } from '../../core/host-contract.ts';
import type { ImportCandidate, ImportChoices, ImportPlan } from '../../core/import/import-plan.ts';
import { type CopyOutcome, importReport } from '../../core/import/import-report.ts';
import { planImport } from '../../core/import/plan-import.ts';
import type { ColumnMappingSheet, FileRecord, Season } from '../../core/season.ts';
import { shownText } from '../../core/shown-text.ts';
import { plainFileName } from './file-name.ts';
import type { Importer } from './host-services.ts';
import { type ImportFolder, importFile } from './import-file.ts';
import { inspectListed, inspectSources } from './import-looking.ts';
import { type ImportSource, importSources } from './import-sources.ts';
import { InspectionMemory, isReadAlike, memoryOf } from './inspection-memory.ts';
import { InspectionThreads } from './inspection-threads.ts';
import { fileInside, type OpenSeason } from './season-folder.ts';
import type { SeasonStore } from './season-store.ts';

export interface ImportWish extends ImportChoices {
  readonly paths: readonly string[];
  readonly uploads?: readonly { readonly path: string; readonly source_name: string }[];
  /** By name of the source file, without folders; `*` holds for every table. */
  readonly mappings?: Readonly<Record<string, ColumnMappingSheet>>;
}

export interface ImportWatch {
  readonly progress: (stage: string, fraction: number) => void;
  readonly shouldStop: () => boolean;
}

/** For the host's services. */
export const importer: Importer = {
  importFiles: ({ store, ...wish }, { progress, signal }) =>
    importIntoSeason(store, wish, { progress, shouldStop: () => signal.aborted }),
};

/** An import that was looked into and planned, and has changed nothing yet. */
export interface PreparedImport {
  readonly season: Season;
  readonly sources: readonly ImportSource[];
  readonly plan: ImportPlan;
  readonly notices: readonly Notice[];
}

/** Runs an import. Fails when no file is given, when it is stopped, and when the season's disk takes no more. */
export async function importIntoSeason(
  store: SeasonStore,
  wish: ImportWish,
  watch: ImportWatch,
): Promise<Result<ImportReport>> {
  if (store.read_only) return failure(store.read_only);
  const memory = memoryOf(store);
  const prepared = await prepareImport({ folder: store.folder, season: store.document }, wish, watch, memory);
  return prepared.ok ? carryOutImport(store, prepared.value, watch) : prepared;
}

/** Looks into all files and plans; writes nothing. `folder` may not be there yet. */
export async function prepareImport(
  { folder, season }: OpenSeason,
  wish: ImportWish,
  watch: ImportWatch,
  memory = new InspectionMemory(),
): Promise<Result<PreparedImport>> {
  const found = await importSources(wish.paths, wish.uploads ?? [], folder);
  if (!found.ok) return found;
  const { sources } = found.value;
  const threads = new InspectionThreads();
  try {
    const looking = { threads, watch };
    const listed = await inspectListed({ folder, season }, memory, looking);
    if (!listed.ok) return listed;
    const looked = await inspectSources(sources, season, wish, looking);
    if (!looked.ok) return looked;
    const planned = planImport(season, listed.value, looked.value, wish);
    if (!planned.ok) return planned;
    const notices = [...found.notices, ...listed.notices, ...looked.notices];
    return success({ season, sources, plan: planned.value, notices });
  } finally {
    await threads.close();
  }
}

/** What a prepared import would do. */
export function reportOfPrepared({ plan, notices }: PreparedImport): ImportReport {
  return importReport(plan, new Map(), notices);
}

/**
 * Copies the files, then changes the sheet in one step. What the user has changed in the meantime stays: the import adds to
 * the sheet as it is then, and is refused where the two contradict each other.
 */
export async function carryOutImport(
  store: SeasonStore,
  { season, sources, plan, notices }: PreparedImport,
  watch: ImportWatch,
): Promise<Result<ImportReport>> {
  const copied = await copyAll(store, season, sources, plan, watch);
  if (!copied.ok) return copied;
  const { outcomes, records } = copied.value;
  const edits: SingleEdit[] = [
    ...(records.length > 0 ? [{ kind: 'record_files', files: records } as const] : []),
    ...plan.edits((id) => {
      const outcome = outcomes.get(id);
      return outcome !== undefined && 'path' in outcome ? outcome.path : undefined;
    }),
  ];
  if (edits.length > 0) {
    const name = `Import of ${records.length} file${records.length === 1 ? '' : 's'}`;
    const edited = await store.edit(store.revision, { kind: 'several', name, edits });
    if (!edited.ok) return edited;
  }
  return success(importReport(plan, outcomes, notices));
}

interface Copied {
  /** By id of the candidate or of the written boundary. */
  readonly outcomes: ReadonlyMap<string, CopyOutcome>;
  readonly records: readonly FileRecord[];
}

/** Codes of copying that speak of one source; all others speak of the season's own disk, and end the import. */
const SOURCE_FAULTS = new Set(['cannot_read', 'not_a_file', 'changed_while_copied', 'copy_differs']);

async function copyAll(
  store: SeasonStore,
  season: Season,
  sources: readonly ImportSource[],
  plan: ImportPlan,
  watch: ImportWatch,
): Promise<Result<Copied>> {
  const outcomes = new Map<string, CopyOutcome>();
  const records = new Map<string, FileRecord>();
  const bySource = new Map(sources.map((source) => [source.id, source]));
  const copy = async (path: string, into: ImportFolder, source_name: string): Promise<Result<string>> => {
    const known = { ...season, files: [...(season.files ?? []), ...records.values()] };
    const options = { into, season: known, source_name, layer: store.layer, shouldStop: watch.shouldStop };
    const copied = await importFile(store.folder, path, options);
    if (!copied.ok) return copied;
    records.set(copied.value.record.path, copied.value.record);
    return success(copied.value.record.path);
  };
  const taken = plan.files.filter(({ plan: one }) => one.outcome === 'take');
  for (const [k, { candidate, plan: one }] of taken.entries()) {
    const source = bySource.get(candidate.id);
    if (source === undefined || one.outcome !== 'take') continue;
    watch.progress(`copying ${shownText(source.source_name)}`, 0.7 + (0.28 * k) / taken.length);
    const copied = await copy(source.path, one.into, source.source_name);
    if (copied.ok) {
      outcomes.set(candidate.id, { path: copied.value });
      await remember(store, copied.value, candidate);
      for (const part of source.parts) await copy(part, one.into, basename(part));
    } else if (SOURCE_FAULTS.has(copied.error.code))
      outcomes.set(candidate.id, { problem: copied.error.text });
    else return copied;
  }
  const written = await writeBoundaries(plan, copy);
  if (!written.ok) return written;
  for (const [id, path] of written.value) outcomes.set(id, { path });
  return success({ outcomes, records: [...records.values()] });
}

/** What was found in the original holds for its copy, which is the same to the last bit. */
async function remember(store: SeasonStore, path: string, candidate: ImportCandidate): Promise<void> {
  const real = await fileInside(store.folder, path);
  if (!real.ok || !isReadAlike(candidate)) return;
  const record = store.document.files?.find((one) => one.path === path);
  if (record !== undefined && record.sha256 !== candidate.sha256) return;
  const { sha256, bytes, inspection } = candidate;
  memoryOf(store).keep(real.value, await stat(real.value), { sha256, bytes, inspection }, { mappings: [] });
}

/** Boundaries that the program writes go the way of all files: made elsewhere, copied in, verified, recorded. */
async function writeBoundaries(
  { boundaries }: ImportPlan,
  copy: (path: string, into: ImportFolder, source_name: string) => Promise<Result<string>>,
): Promise<Result<Map<string, string>>> {
  const paths = new Map<string, string>();
  if (boundaries.length === 0) return success(paths);
  const folder = await mkdtemp(join(tmpdir(), 'sheaflight-'));
  try {
    for (const [k, { id, name, text }] of boundaries.entries()) {
      const file = join(folder, `${k}${extname(name)}`);
      await writeFile(file, text);
      const copied = await copy(file, 'boundaries', plainFileName(name, 'field.geojson'));
      if (!copied.ok) return copied;
      paths.set(id, copied.value);
    }
    return success(paths);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
