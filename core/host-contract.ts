/**
 * What window and host say to each other, in one place: every route with its method and path, and the types of what
 * goes out and comes back. Both sides import this file and nothing else of each other. Bodies and replies are JSON
 * unless the table says otherwise; columns are described in `column-wire.ts`; times are ISO 8601 in UTC.
 *
 * Every refusal is an `ErrorReply` with a status: 400 the request is not understood, 401 not signed in, 403 not from
 * this window or outside a season folder, 404 not there, 409 something else came first (stale revision, open
 * elsewhere, changed on the disk), 413 too large, 415 wrong kind of body, 422 understood and refused, 500 our own
 * fault, 501 not in this build, 507 the disk is full.
 */
import type {
  ComparisonsReply,
  StabilityBody,
  TreatmentChoicesReply,
  TreatmentsBody,
} from './analysis/comparison-requests.ts';
import type { BaseMapBody, BaseMapReply } from './base-map.ts';
import type { SeasonEdit } from './edits/season-edit.ts';
import type { Notice } from './errors.ts';
import type { ExportChoice } from './export/export-choice.ts';
import type { ExportChoiceReply, LayerExportChoice, LayerExportReply } from './export/layers/layer-choice.ts';
import type { ReportChoice, ReportReply } from './export/report-choice.ts';
import type { FilesReply } from './file-state.ts';
import type { ImportReport } from './import-account.ts';
import type { BeamCheckReply, KeepSheetBody, SeasonLogCheckBody } from './install/sheet-requests.ts';
import type { LoadSpan, Summary } from './result.ts';
import type { ColumnMappingSheet, FieldSheet, MachineSheet, Season } from './season.ts';
import type { HomeReply, SetHomeBody } from './season-list.ts';
import type { SurfaceSheet } from './surface/surface-sheet.ts';

export type { BaseMapBody, BaseMapReply } from './base-map.ts';
export type { FileState, FilesReply } from './file-state.ts';
export type { ImportedFile, ImportReport, ImportSpan, MappingGuess } from './import-account.ts';
export type { BeamCheckReply, KeepSheetBody } from './install/sheet-requests.ts';
export type { HomeReply, SeasonCard, SeasonProblem, SetHomeBody } from './season-list.ts';

export interface Route {
  readonly method: 'GET' | 'POST' | 'PUT' | 'DELETE';
  /** `:name` stands for one percent-encoded step. */
  readonly path: string;
  readonly body: 'none' | 'json' | 'bytes';
  readonly reply: 'json' | 'columns' | 'events' | 'bytes';
}

/** `:season` is the key that the host gave the season (`SeasonReply.season`, `SeasonCard.season`). */
export const ROUTES = {
  readHome: { method: 'GET', path: '/api/home', body: 'none', reply: 'json' },
  setHome: { method: 'PUT', path: '/api/home', body: 'json', reply: 'json' },

  /** The user's own map under the fields; none at first. */
  readBaseMap: { method: 'GET', path: '/api/base-map', body: 'none', reply: 'json' },
  setBaseMap: { method: 'PUT', path: '/api/base-map', body: 'json', reply: 'json' },
  /** The chosen tile archive; `Range` asks for a part of it. */
  readTiles: { method: 'GET', path: '/api/base-map/tiles', body: 'none', reply: 'bytes' },

  createSeason: { method: 'POST', path: '/api/seasons', body: 'json', reply: 'json' },
  openSeason: { method: 'POST', path: '/api/seasons/open', body: 'json', reply: 'json' },
  /** Opens the home's copy of the sample season, which is made the first time; the original is never written to. */
  openSample: { method: 'POST', path: '/api/seasons/sample', body: 'none', reply: 'json' },
  /** Puts `season.json.previous` in the place of a `season.json` that cannot be read. */
  restoreSeason: { method: 'POST', path: '/api/seasons/restore', body: 'json', reply: 'json' },
  /** The body is the zip. */
  unpackSeason: { method: 'POST', path: '/api/seasons/unpack/:name', body: 'bytes', reply: 'json' },

  readSeason: { method: 'GET', path: '/api/seasons/:season', body: 'none', reply: 'json' },
  /** Reads `season.json` again after someone else has changed it. */
  reloadSeason: { method: 'POST', path: '/api/seasons/:season/reload', body: 'none', reply: 'json' },
  closeSeason: { method: 'POST', path: '/api/seasons/:season/close', body: 'none', reply: 'json' },
  renameSeason: { method: 'POST', path: '/api/seasons/:season/rename', body: 'json', reply: 'json' },
  copySeason: { method: 'POST', path: '/api/seasons/:season/copy', body: 'json', reply: 'json' },
  /** The reply is the zip. */
  packSeason: { method: 'GET', path: '/api/seasons/:season/pack', body: 'none', reply: 'bytes' },
  /** To the system's bin. */
  removeSeason: { method: 'DELETE', path: '/api/seasons/:season', body: 'none', reply: 'json' },

  editSeason: { method: 'POST', path: '/api/seasons/:season/edits', body: 'json', reply: 'json' },
  /** What an edit would do, without making it. Of several asked at once the latest is answered, the others with `overtaken`. */
  preview: { method: 'POST', path: '/api/seasons/:season/preview', body: 'json', reply: 'json' },
  undo: { method: 'POST', path: '/api/seasons/:season/undo', body: 'json', reply: 'json' },
  redo: { method: 'POST', path: '/api/seasons/:season/redo', body: 'json', reply: 'json' },
  /** Writes a boundary as a new file of the season and gives it to a field: one step of the history. */
  drawBoundary: { method: 'POST', path: '/api/seasons/:season/boundaries', body: 'json', reply: 'json' },

  /** `?depth=full` reads every file; else sizes and times are compared first. */
  checkFiles: { method: 'GET', path: '/api/seasons/:season/files', body: 'none', reply: 'json' },
  /** `?path=out/report.html`: one file of the season folder. */
  readFile: { method: 'GET', path: '/api/seasons/:season/file', body: 'none', reply: 'bytes' },

  /** The body is a file to import; the reply names it for `importFiles`. */
  uploadFile: { method: 'POST', path: '/api/seasons/:season/uploads/:name', body: 'bytes', reply: 'json' },
  importFiles: { method: 'POST', path: '/api/seasons/:season/imports', body: 'json', reply: 'json' },

  build: { method: 'POST', path: '/api/seasons/:season/builds', body: 'none', reply: 'json' },
  readResult: { method: 'GET', path: '/api/seasons/:season/result', body: 'none', reply: 'json' },
  /** `:build` is `ResultReply.build`, `:field` the place in `ResultReply.points`; `?columns=t_s,east_m` asks for some of the columns. */
  readPoints: {
    method: 'GET',
    path: '/api/seasons/:season/builds/:build/points/:field',
    body: 'none',
    reply: 'columns',
  },
  /** Makes the surface that `readSurface` then gives at once, by the settings in the body: with progress, and stopped by a newer one. */
  makeSurface: { method: 'POST', path: '/api/surfaces/:season/:build/:field', body: 'json', reply: 'json' },
  readSurface: {
    method: 'GET',
    path: '/api/seasons/:season/builds/:build/surface/:field',
    body: 'none',
    reply: 'columns',
  },
  /** What the last build says of strips, totals and margins by the sheet as it is now; `?field=Home` that field alone. */
  readComparisons: { method: 'GET', path: '/api/seasons/:season/comparisons', body: 'none', reply: 'json' },
  /** The same as comparison.json and tables as CSV, into the season's `out/`. */
  writeComparisons: { method: 'POST', path: '/api/seasons/:season/comparisons', body: 'none', reply: 'json' },
  /** What a file of treatments offers to choose from: `?upload=` one that was sent, or `?path=` one of the season. */
  readTreatments: { method: 'GET', path: '/api/seasons/:season/treatments', body: 'none', reply: 'json' },
  /** Copies a file of treatments in and compares by it: one step of the history. */
  addTreatments: { method: 'POST', path: '/api/seasons/:season/treatments', body: 'json', reply: 'json' },
  /** Several seasons of a field laid together, cell by cell. */
  readStability: { method: 'POST', path: '/api/stability', body: 'json', reply: 'columns' },
  exportResult: { method: 'POST', path: '/api/seasons/:season/exports', body: 'json', reply: 'json' },
  /** Layers of the last build, written into `out/export` by a job whose reply lists the files; the choice is remembered. */
  exportLayers: { method: 'POST', path: '/api/seasons/:season/layers', body: 'json', reply: 'json' },
  /** Reports of the last build, into `out/`; the job tells of the files, and `readFile` gives them. */
  makeReports: { method: 'POST', path: '/api/seasons/:season/reports', body: 'json', reply: 'json' },
  readExportChoice: { method: 'GET', path: '/api/export-choice', body: 'none', reply: 'json' },

  /** Judges a short log before the first acre: the body is the log, `?measures=` the JSON of `CheckMeasures`. */
  checkBeam: { method: 'POST', path: '/api/beam-checks/:name', body: 'bytes', reply: 'json' },
  checkSeasonLog: { method: 'POST', path: '/api/seasons/:season/beam-checks', body: 'json', reply: 'json' },
  /** Writes a worksheet or a commissioning record into the season's `out/`. */
  keepSheet: { method: 'POST', path: '/api/seasons/:season/sheets', body: 'json', reply: 'json' },

  readJob: { method: 'GET', path: '/api/jobs/:job', body: 'none', reply: 'json' },
  /** `JobReply` after `JobReply`, as server-sent events named `job`, until the job has ended. */
  watchJob: { method: 'GET', path: '/api/jobs/:job/events', body: 'none', reply: 'events' },
  cancelJob: { method: 'DELETE', path: '/api/jobs/:job', body: 'none', reply: 'json' },
} as const satisfies Readonly<Record<string, Route>>;

export type RouteName = keyof typeof ROUTES;

/** Bodies that go out and replies that come back, by route; a route that is not named has no body, or answers no JSON. */
export interface Bodies {
  readonly setHome: SetHomeBody;
  readonly setBaseMap: BaseMapBody;
  readonly createSeason: CreateSeasonBody;
  readonly openSeason: FolderBody;
  readonly restoreSeason: FolderBody;
  readonly renameSeason: RenameSeasonBody;
  readonly copySeason: CopySeasonBody;
  readonly editSeason: EditBody;
  readonly preview: EditBody;
  readonly undo: RevisionBody;
  readonly redo: RevisionBody;
  readonly drawBoundary: BoundaryBody;
  readonly importFiles: ImportBody;
  readonly makeSurface: SurfaceSheet;
  readonly addTreatments: TreatmentsBody;
  readonly readStability: StabilityBody;
  readonly exportResult: ExportBody;
  readonly exportLayers: LayerExportChoice;
  readonly makeReports: ReportChoice;
  readonly checkSeasonLog: SeasonLogCheckBody;
  readonly keepSheet: KeepSheetBody;
}

export interface Replies {
  readonly readHome: HomeReply;
  readonly setHome: HomeReply;
  readonly readBaseMap: BaseMapReply;
  readonly setBaseMap: BaseMapReply;
  readonly createSeason: SeasonReply;
  readonly openSeason: SeasonReply;
  readonly openSample: SeasonReply;
  readonly restoreSeason: SeasonReply;
  readonly unpackSeason: SeasonReply;
  readonly readSeason: SeasonReply;
  readonly reloadSeason: SeasonReply;
  readonly closeSeason: DoneReply;
  readonly renameSeason: SeasonReply;
  readonly copySeason: SeasonReply;
  readonly removeSeason: DoneReply;
  readonly editSeason: SeasonReply;
  readonly preview: PreviewReply;
  readonly undo: SeasonReply;
  readonly redo: SeasonReply;
  readonly drawBoundary: SeasonReply;
  readonly checkFiles: FilesReply;
  readonly uploadFile: UploadReply;
  readonly importFiles: JobReply;
  readonly build: JobReply;
  readonly readResult: ResultReply;
  readonly makeSurface: JobReply;
  readonly readComparisons: ComparisonsReply;
  readonly writeComparisons: ExportReply;
  readonly readTreatments: TreatmentChoicesReply;
  readonly addTreatments: SeasonReply;
  readonly exportResult: ExportReply;
  readonly exportLayers: JobReply;
  readonly makeReports: JobReply;
  readonly readExportChoice: ExportChoiceReply;
  readonly checkBeam: BeamCheckReply;
  readonly checkSeasonLog: BeamCheckReply;
  readonly keepSheet: ExportReply;
  readonly readJob: JobReply;
  readonly cancelJob: JobReply;
}

/** The path of a route with its steps filled in. Throws RangeError when one is missing. */
export function pathTo(route: RouteName, steps: Readonly<Record<string, string>> = {}): string {
  return ROUTES[route].path.replaceAll(/:([a-z]+)/g, (_, name: string) => {
    const step = steps[name];
    if (step === undefined) throw new RangeError(`the path of ${route} needs :${name}`);
    return encodeURIComponent(step);
  });
}

/** Why there is no reply; the text is one clear sentence: what, where, how to mend it. */
export interface ErrorReply {
  readonly code: string;
  readonly text: string;
  /** What else was found on the way, e.g. the other faults of a season sheet. */
  readonly notices?: readonly Notice[];
}

/** It is done, and there is nothing more to say. */
export interface DoneReply {
  readonly text: string;
}

/* ---------------------------------------------------------------- home and seasons ------------------------------ */

export interface CreateSeasonBody {
  readonly name: string;
  readonly units: 'us' | 'metric';
  readonly machines?: readonly MachineSheet[];
  readonly fields?: readonly FieldSheet[];
}

export interface FolderBody {
  /** Absolute path of a season folder, or of the `season.json` in it. */
  readonly folder: string;
}

export interface RenameSeasonBody extends RevisionBody {
  readonly name: string;
  /** Also gives the folder this name; it stays as it is when absent. */
  readonly folder_name?: string;
}

export interface CopySeasonBody {
  readonly name: string;
}

/** A season as it stands, after whatever was asked. */
export interface SeasonReply {
  readonly season: string;
  readonly folder: string;
  /** Changes with every change of the document; what an edit says it was made on. */
  readonly revision: string;
  readonly document: Season;
  /** What was noticed in the sheet, and on opening (a lock taken over, leftovers cleared away). */
  readonly notices: readonly Notice[];
  readonly history: History;
  /** The build that `readResult` tells of; `null` before the first. */
  readonly last_build: string | null;
}

export interface History {
  /** Oldest first; the first is how the season was when it was opened. */
  readonly entries: readonly HistoryEntry[];
  /** Which of them the document is at: those after it can be redone. */
  readonly at: number;
}

export interface HistoryEntry {
  /** E.g. "Lag set to 12.0 s in Home". */
  readonly name: string;
  readonly utc: string;
}

export interface RevisionBody {
  /** The revision that the user saw; another one is refused with `stale_revision`. */
  readonly revision: string;
}

export interface BoundaryBody extends RevisionBody {
  readonly field: string;
  /** Rings as drawn, [longitude, latitude] in degrees, the first corner not repeated; nested by the even–odd rule. */
  readonly rings: readonly (readonly (readonly [number, number])[])[];
}

export interface EditBody extends RevisionBody {
  readonly edit: SeasonEdit;
}

/* ---------------------------------------------------------------- files and import ------------------------------ */

export interface UploadReply {
  /** For `ImportBody.uploads`. */
  readonly upload: string;
  readonly source_name: string;
  readonly bytes: number;
}

export interface ImportBody extends RevisionBody {
  /** Absolute paths of files and folders on this machine. */
  readonly paths: readonly string[];
  readonly uploads: readonly string[];
  /** Machine and field that the files belong to, where the user has said so. */
  readonly machine?: string;
  readonly field?: string;
  /** What grew in fields that are new, where the user has said so. */
  readonly crop?: string;
  /** How to read delimited text, where the user has said so, by name of the source file. */
  readonly mappings?: Readonly<Record<string, ColumnMappingSheet>>;
}

/* ---------------------------------------------------------------- jobs and results ------------------------------ */

export interface JobReply {
  readonly job: string;
  readonly season: string;
  readonly kind: 'build' | 'import' | 'preview' | 'export' | 'report' | 'surface';
  readonly state: 'queued' | 'running' | 'done' | 'failed' | 'cancelled';
  /** E.g. `reading logs`. */
  readonly stage: string;
  /** Share of the whole, 0 to 1. */
  readonly fraction: number;
  /** When failed or cancelled. */
  readonly error: ErrorReply | null;
  /** When an import is done. */
  readonly report: ImportReport | null;
  /** When an export of layers is done. */
  readonly exported?: LayerExportReply;
  /** When reports are made. */
  readonly reported?: ReportReply;
}

/** The last build of a season. */
export interface ResultReply {
  /** The job that made it. */
  readonly build: string;
  /** Of the document that it was made from; another than the season's own when that was edited since. */
  readonly revision: string;
  readonly summary: Summary;
  readonly notices: readonly Notice[];
  readonly epoch_utc_s: number;
  /** What the points' columns `machine` and `load` count through. */
  readonly machines: readonly string[];
  readonly loads: readonly LoadSpan[];
  readonly points: readonly { readonly field: string; readonly crop: string; readonly rows: number }[];
}

/** The result as it would be; `readPoints` gives its columns until another preview is made. */
export interface PreviewReply extends ResultReply {
  /** What the edit would be called in the history. */
  readonly name: string;
}

export type ExportBody = ExportChoice;

export interface ExportReply {
  /** Inside the season folder; `readFile` gives them. */
  readonly files: readonly { readonly path: string; readonly bytes: number }[];
}
