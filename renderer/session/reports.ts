/** Reports for whoever gets the grain or owns the ground: what is chosen, how far the making is, what was made, and which one is looked at. */
import { useEffect, useSyncExternalStore } from 'react';
import type { ReportChoice, ReportReply } from '../../core/export/report-choice.ts';
import type { JobReply } from '../../core/host-contract.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import type { Session } from './session.ts';
import { useSession } from './use-session.ts';

export interface ReportsState {
  readonly choice: ReportChoice;
  readonly isMaking: boolean;
  readonly job: JobReply | null;
  readonly made: ReportReply | null;
  readonly isStopped: boolean;
  readonly trouble: string | null;
  /** Path of the report that is looked at in the map's place, and how often it was made: a frame shows each anew. */
  readonly preview: { readonly path: string; readonly making: number } | null;
}

/** HTML to look at and PDF to hand on; units and paper are the season's own. */
const NONE: ReportsState = {
  choice: { fields: 'all', season: false, formats: ['html', 'pdf'] },
  isMaking: false,
  job: null,
  made: null,
  isStopped: false,
  trouble: null,
  preview: null,
};

export class Reports {
  readonly #session: Session;
  readonly #listeners = new Set<() => void>();
  #state: ReportsState = NONE;
  #season: string | null = null;
  #makings = 0;

  constructor(session: Session) {
    this.#session = session;
  }

  get state(): ReportsState {
    return this.#state;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Another season begins with nothing made. */
  open(season: string): void {
    if (season === this.#season) return;
    this.#season = season;
    this.#set({ ...NONE });
  }

  choose(change: Partial<ReportChoice>): void {
    this.#set({ choice: { ...this.#state.choice, ...change }, trouble: null });
  }

  /** Makes what is chosen; the first page that comes of it is shown. */
  async make(choice: ReportChoice): Promise<void> {
    const season = this.#season;
    if (season === null || this.#state.isMaking) return;
    const { host } = this.#session;
    this.#set({ isMaking: true, job: null, made: null, isStopped: false, trouble: null });
    try {
      const asked = await host.call('makeReports', { season }, choice);
      this.#tell(season, { job: asked });
      const watching = new AbortController();
      const ended = await host.watchJob(asked.job, (job) => this.#tell(season, { job }), watching.signal);
      const made = ended.reported ?? null;
      const page = made?.files.find(({ path }) => isPage(path));
      this.#tell(season, {
        isMaking: false,
        job: null,
        made,
        isStopped: ended.state === 'cancelled',
        trouble: ended.state === 'failed' ? (ended.error?.text ?? null) : null,
        ...(page === undefined ? {} : { preview: { path: page.path, making: ++this.#makings } }),
      });
    } catch (caught) {
      if (!(caught instanceof HostTrouble)) throw caught;
      this.#tell(season, { isMaking: false, job: null, trouble: caught.reply.text });
    }
  }

  /** Asks the making to end; nothing is left half written. */
  async stop(): Promise<void> {
    const { job } = this.#state;
    if (job !== null) await this.#session.host.call('cancelJob', { job: job.job });
  }

  look(path: string | null): void {
    this.#set({ preview: path === null ? null : { path, making: this.#makings } });
  }

  #tell(season: string, change: Partial<ReportsState>): void {
    if (season === this.#season) this.#set(change);
  }

  #set(change: Partial<ReportsState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}

/** Whether a report can be looked at in the window. */
export function isPage(path: string): boolean {
  return path.endsWith('.html');
}

const OF_SESSION = new WeakMap<Session, Reports>();

export function reportsOf(session: Session): Reports {
  const known = OF_SESSION.get(session) ?? new Reports(session);
  OF_SESSION.set(session, known);
  return known;
}

export function useReports(season: string | undefined): ReportsState {
  const reports = reportsOf(useSession());
  useEffect(() => {
    if (season !== undefined) reports.open(season);
  }, [reports, season]);
  return useSyncExternalStore(reports.subscribe, () => reports.state);
}
