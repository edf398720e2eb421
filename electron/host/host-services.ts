/** What the routes work with. Each part can be another one in a test, in the window's shell, or once more is built. */
import type { BaseMapChoice } from '../../core/base-map.ts';
import type { DataError, Result } from '../../core/errors.ts';
import type { ExportChoiceReply } from '../../core/export/layers/layer-choice.ts';
import type { Bodies, ImportBody, ImportReport, Replies, RouteName } from '../../core/host-contract.ts';
import type { ChosenHome } from './home-folder.ts';
import type { JobContext, Jobs } from './jobs.ts';
import type { RecycleBin } from './recycle-bin.ts';
import type { SeasonSessions, Upload } from './season-sessions.ts';
import type { SeasonStore } from './season-store.ts';
import type { WorkerPool } from './worker-pool.ts';

export interface HostServices {
  /** Where the library is now. */
  readonly home: () => Promise<ChosenHome>;
  /** Remembers another library. */
  readonly setHome: (folder: string) => Promise<Result<unknown>>;
  /** The user's own map under the fields; `null` for none. */
  readonly baseMap: () => Promise<BaseMapChoice | null>;
  readonly setBaseMap: (choice: BaseMapChoice | null) => Promise<Result<unknown>>;
  /** What was exported last, and how; `null` for nothing. */
  readonly exportChoice: () => Promise<ExportChoiceReply['choice']>;
  readonly rememberExport: (choice: ExportChoiceReply['choice']) => Promise<Result<unknown>>;
  readonly sessions: SeasonSessions;
  readonly jobs: Jobs;
  readonly pool: WorkerPool;
  readonly bin: RecycleBin;
  /** The folder of the sample season that comes with the program. */
  readonly sample: () => string | undefined;
  /** Recognises and takes in files; without one, importing is answered with `not_available`. */
  readonly importer?: Importer;
  /** Reports a mistake of ours and words it. */
  readonly onFault: (caught: unknown) => DataError;
}

/** What is to be imported, and into which season. */
export interface ImportRequest extends Omit<ImportBody, 'uploads' | 'revision'> {
  readonly store: SeasonStore;
  readonly uploads: readonly Upload[];
}

export interface Importer {
  /** Copies files in (`importFile`), records and lists them by edits of the store, and says what came of each. */
  readonly importFiles: (request: ImportRequest, context: JobContext) => Promise<Result<ImportReport>>;
}

/** One request on its way: its steps from the path, its query, its body. */
export interface Call<K extends RouteName> {
  readonly steps: Readonly<Record<string, string>>;
  readonly query: URLSearchParams;
  readonly body: K extends keyof Bodies ? Bodies[K] : undefined;
  readonly request: Request;
  readonly host: HostServices;
}

/** What answers a route: its JSON or a refusal; a whole response where the answer is no JSON. */
export type RouteHandler<K extends RouteName> = (
  call: Call<K>,
) => Promise<K extends keyof Replies ? Result<Replies[K]> : Result<never> | Response>;

export type RouteHandlers<K extends RouteName> = { readonly [R in K]: RouteHandler<R> };
