/**
 * The window's session: holds the state, talks to the host, tells whoever listens. Every change of the document is an
 * edit that the host has acknowledged; the window never shows one as kept before that.
 */
import type { SeasonEdit } from '../../core/edits/season-edit.ts';
import type {
  BoundaryBody,
  CreateSeasonBody,
  ExportBody,
  ImportBody,
  ImportReport,
  JobReply,
  SeasonReply,
} from '../../core/host-contract.ts';
import type { ColumnMappingSheet } from '../../core/season.ts';
import { type HostClient, HostTrouble, hasEnded } from '../host-client/host-client.ts';
import type { Theme } from '../map/types.ts';
import { fetchOutlines, fetchPoints, lastResult, type StateAccess } from './fetching.ts';
import { Previews } from './previews.ts';
import { FIRST_STATE, FIRST_VIEW, figuresMayDiffer, type SessionState, type View } from './session-state.ts';

export interface SessionOptions {
  readonly theme?: Theme;
  /** Told which season is open, so that a reload finds it again. */
  readonly onSeason?: (season: string | null) => void;
}

export class Session {
  readonly #host: HostClient;
  readonly #options: SessionOptions;
  readonly #access: StateAccess;
  readonly #previews: Previews;
  readonly #listeners = new Set<() => void>();
  readonly #hoverListeners = new Set<() => void>();
  /** Row under the pointer, on the map or on the timeline: told apart from the state, since it changes all the time. */
  #hoverRow: number | null = null;
  #state: SessionState;
  /** How the last change is to be called where the history's own name for it does not say; null where it does. */
  #changeName: string | null = null;
  /** Files of the last import, for those whose columns were not clear. */
  #dropped: readonly File[] = [];
  /** The end of the changes asked for so far: they follow one another. */
  #changes: Promise<unknown> = Promise.resolve();
  /** Ends the watching of the last build when a newer one begins. */
  #watching = new AbortController();

  constructor(host: HostClient, options: SessionOptions = {}) {
    this.#host = host;
    this.#options = options;
    this.#access = { host, state: () => this.#state, set: (change) => this.#set(change) };
    this.#previews = new Previews({ ...this.#access, attempt: (work) => this.#attempt(work) });
    this.#state = { ...FIRST_STATE, view: { ...FIRST_VIEW, theme: options.theme ?? 'light' } };
  }

  get state(): SessionState {
    return this.#state;
  }

  get host(): HostClient {
    return this.#host;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  get hoverRow(): number | null {
    return this.#hoverRow;
  }

  readonly subscribeToHover = (listener: () => void): (() => void) => {
    this.#hoverListeners.add(listener);
    return () => this.#hoverListeners.delete(listener);
  };

  hover(row: number | null): void {
    if (row === this.#hoverRow) return;
    this.#hoverRow = row;
    for (const listener of this.#hoverListeners) listener();
  }

  /** Opens `season` again after a reload, else shows the home. */
  async start(season: string | null): Promise<void> {
    if (season !== null) {
      try {
        await this.#show(await this.#host.call('readSeason', { season }));
        return;
      } catch {
        // It was closed or moved meanwhile: the home says what there is.
      }
    }
    await this.goHome();
  }

  async goHome(): Promise<void> {
    await this.#attempt(async () => {
      this.#watching.abort();
      this.#previews.stop();
      const home = await this.#host.call('readHome', {});
      const { theme } = this.#state.view;
      this.#set({ ...FIRST_STATE, phase: 'home', home, view: { ...FIRST_VIEW, theme } });
      this.#options.onSeason?.(null);
    });
  }

  openSample(): Promise<void> {
    return this.#attempt(async () => this.#show(await this.#host.call('openSample', {})));
  }

  async openFolder(folder: string): Promise<void> {
    await this.#attempt(async () => this.#show(await this.#host.call('openSeason', {}, { folder })));
    if (this.#state.phase !== 'starting') return;
    const { trouble } = this.#state;
    await this.goHome();
    this.#set({ trouble });
  }

  createSeason(body: CreateSeasonBody): Promise<void> {
    return this.#attempt(async () => {
      await this.#show(await this.#host.call('createSeason', {}, body));
      this.look({ stage: 'logs' });
    });
  }

  restoreSeason(folder: string): Promise<void> {
    return this.#attempt(async () => this.#show(await this.#host.call('restoreSeason', {}, { folder })));
  }

  /** Changes the view; nothing of it is saved. */
  look(change: Partial<View>): void {
    const fieldChanges = change.field !== undefined && change.field !== this.#state.view.field;
    const cleared: Partial<View> = fieldChanges ? { selection: null, span: null, thread: null } : {};
    if (fieldChanges) this.hover(null);
    this.#set({ view: { ...this.#state.view, ...cleared, ...change } });
    if (fieldChanges) void this.#attempt(() => fetchPoints(this.#access));
  }

  /** Makes the edit, and rebuilds when it can change a figure. */
  edit(edit: SeasonEdit): Promise<void> {
    if (JSON.stringify(edit) === JSON.stringify(this.#state.preview?.edit)) return this.keepPreview();
    this.#previews.leave();
    return this.#make(edit);
  }

  /** Shows what the edit would do, without making it. */
  try(edit: SeasonEdit): Promise<void> {
    return this.#previews.try(edit);
  }

  leavePreview(): void {
    this.#previews.leave();
  }

  /** Makes the edit that is being tried. What it shows stays until the same comes from the build. */
  async keepPreview(): Promise<void> {
    const { preview, season } = this.#state;
    if (preview === null) return;
    this.#previews.stop();
    await this.#make(preview.edit);
    if (this.#state.season?.revision === season?.revision) this.#previews.leave();
  }

  #make(edit: SeasonEdit): Promise<void> {
    return this.#change(({ season, revision }) =>
      this.#host.call('editSeason', { season }, { revision, edit }),
    );
  }

  /** Makes a change by a route of its own, and rebuilds; whether it was taken. */
  async change(ask: (open: SeasonReply) => Promise<SeasonReply>): Promise<boolean> {
    this.#previews.leave();
    const { revision: was } = this.#mustBeOpen();
    await this.#change(ask);
    return this.#mustBeOpen().revision !== was && this.#state.trouble === null;
  }

  /** Writes a drawn boundary of a field; whether it was taken. */
  async drawBoundary(field: string, rings: BoundaryBody['rings']): Promise<boolean> {
    const isTaken = await this.change(({ season, revision }) =>
      this.#host.call('drawBoundary', { season }, { revision, field, rings }),
    );
    await this.#attempt(() => fetchOutlines(this.#access));
    return isTaken;
  }

  undo(): Promise<void> {
    this.#previews.leave();
    return this.#change(({ season, revision, history }) => {
      this.#changeName = `Undone: ${history.entries[history.at]?.name}`;
      return this.#host.call('undo', { season }, { revision });
    });
  }

  redo(): Promise<void> {
    this.#previews.leave();
    return this.#change(({ season, revision }) => this.#host.call('redo', { season }, { revision }));
  }

  /** Undoes or redoes until the document is at the history entry `at`. */
  async goTo(at: number): Promise<void> {
    const from = this.#state.season?.history.at ?? at;
    for (let step = from; step !== at; step += Math.sign(at - from)) {
      await (at < from ? this.undo() : this.redo());
    }
  }

  setUnits(units: 'us' | 'metric'): Promise<void> {
    this.look({ units });
    return this.edit({ kind: 'set_units', units });
  }

  /** Imports a file of the last import once more, read as `mapping` says. */
  importAs(source_name: string, mapping: ColumnMappingSheet): Promise<void> {
    const files = this.#dropped.filter(({ name }) => name === source_name);
    return this.importFiles(files, { mappings: { [source_name]: mapping } });
  }

  /** Copies the files in, reads them, and rebuilds. */
  importFiles(
    files: readonly File[],
    said: Partial<Pick<ImportBody, 'machine' | 'field' | 'mappings'>> = {},
  ): Promise<void> {
    return this.#attempt(async () => {
      const { season } = this.#mustBeOpen();
      this.#dropped = files;
      const uploads: string[] = [];
      try {
        for (const [i, file] of files.entries()) {
          this.#set({ sending: `copying in ${file.name} (${i + 1} of ${files.length})` });
          uploads.push((await this.#host.upload(season, file)).upload);
        }
      } finally {
        this.#set({ sending: null });
      }
      const { revision } = this.#mustBeOpen();
      const job = await this.#host.call('importFiles', { season }, { revision, paths: [], uploads, ...said });
      const ended = await this.#watch(job);
      if (ended.report !== null) this.#set({ imported: ended.report });
      if (ended.error !== null && ended.state === 'failed') this.#set({ trouble: ended.error });
      this.#set({ season: await this.#host.call('readSeason', { season }) });
      this.look({ stage: 'logs' });
      if (hasSomethingNew(ended.report)) await this.rebuild();
    });
  }

  /** Runs the chain on the document as it is; a build that is under way is overtaken. */
  async rebuild(): Promise<void> {
    const { season, document } = this.#mustBeOpen();
    if (document.logs.length === 0 || document.fields.length === 0) {
      // What was shown belonged to logs that are no longer listed.
      this.#set({ built: null, before: null });
      return;
    }
    const job = await this.#host.call('build', { season });
    const ended = await this.#watch(job);
    if (ended.state === 'failed') this.#set({ trouble: ended.error });
    if (ended.state === 'done') await this.#takeResult();
    else this.#previews.leave();
  }

  async cancel(): Promise<void> {
    const { job } = this.#state;
    if (job === null || hasEnded(job)) return;
    await this.#attempt(async () => {
      this.#set({ job: await this.#host.call('cancelJob', { job: job.job }) });
    });
  }

  exportPoints(choice: ExportBody): Promise<void> {
    return this.#attempt(async () => {
      const { season } = this.#mustBeOpen();
      this.#set({ sending: 'writing files', exported: null });
      try {
        this.#set({ exported: await this.#host.call('exportResult', { season }, choice) });
      } finally {
        this.#set({ sending: null });
      }
    });
  }

  dismissTrouble(): void {
    this.#set({ trouble: null });
  }

  /** Folds up the account of the last change. */
  forgetBefore(): void {
    this.#set({ before: null, view: { ...this.#state.view, compare: 'off' } });
  }

  dismissImport(): void {
    this.#set({ imported: null });
  }

  #set(change: Partial<SessionState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }

  #mustBeOpen(): SeasonReply {
    const { season } = this.#state;
    if (season === null) throw new RangeError('no season is open');
    return season;
  }

  /** What goes wrong with the host is shown; what is our own fault is thrown. */
  async #attempt(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (caught) {
      if (caught instanceof DOMException && caught.name === 'AbortError') return;
      if (!(caught instanceof HostTrouble)) throw caught;
      this.#set({ trouble: caught.reply });
      if (caught.reply.code === 'stale_revision') await this.#readAgain();
    }
  }

  async #readAgain(): Promise<void> {
    const { season } = this.#mustBeOpen();
    this.#set({ season: await this.#host.call('readSeason', { season }) });
  }

  #change(ask: (open: SeasonReply) => Promise<SeasonReply>): Promise<void> {
    const turn = this.#changes.then(() =>
      this.#attempt(async () => {
        const open = this.#mustBeOpen();
        this.#changeName = null;
        const season = await ask(open);
        this.#set({ season, trouble: null, view: { ...this.#state.view, units: null } });
        if (figuresMayDiffer(open, season)) void this.#attempt(() => this.rebuild());
      }),
    );
    this.#changes = turn;
    return turn;
  }

  async #show(season: SeasonReply): Promise<void> {
    const { theme } = this.#state.view;
    this.#watching.abort();
    this.#previews.stop();
    this.#set({ ...FIRST_STATE, phase: 'season', season, view: { ...FIRST_VIEW, theme } });
    this.#options.onSeason?.(season.season);
    void this.#attempt(() => fetchOutlines(this.#access));
    const result = await lastResult(this.#host, season);
    if (result !== null) this.#set({ built: { reply: result, points: new Map() } });
    if (result !== null) await fetchPoints(this.#access);
    if (result?.revision !== season.revision) await this.rebuild();
  }

  async #takeResult(): Promise<void> {
    const open = this.#mustBeOpen();
    const reply = await this.#host.call('readResult', { season: open.season });
    const { preview, view } = this.#state;
    const built = preview?.kept ?? this.#state.built;
    const { entries, at } = open.history;
    const before =
      built === null || built.reply.build === reply.build
        ? null
        : {
            change: this.#changeName ?? entries[at]?.name ?? '',
            summary: built.reply.summary,
            points: built.points,
          };
    const isSameShape = built?.reply.points.every(({ rows }, i) => reply.points[i]?.rows === rows) ?? false;
    const kept = isSameShape ? {} : { selection: null, thread: null };
    const compare = preview === null ? 'off' : view.compare;
    this.#previews.stop();
    // What a kept preview shows is what has come: its points stay until they are there again.
    const points = preview === null ? new Map() : (this.#state.built?.points ?? new Map());
    this.#set({
      built: { reply, points },
      before,
      preview: null,
      tried: null,
      view: { ...view, ...kept, compare },
    });
    await fetchPoints(this.#access);
    await fetchOutlines(this.#access);
  }

  async #watch(job: JobReply): Promise<JobReply> {
    this.#watching.abort();
    const watching = new AbortController();
    this.#watching = watching;
    this.#set({ job });
    if (hasEnded(job)) return job;
    return this.#host.watchJob(
      job.job,
      (state) => {
        if (!watching.signal.aborted) this.#set({ job: state });
      },
      watching.signal,
    );
  }
}

function hasSomethingNew(report: ImportReport | null): boolean {
  return report?.files.some(({ outcome }) => outcome === 'imported') ?? false;
}
