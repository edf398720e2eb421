/**
 * What compares, of the season that is open: strips, totals and margins as the host tells them, and strips while they are drawn. Asked
 * for whenever the sheet or the build is another one.
 */
import { useEffect, useSyncExternalStore } from 'react';
import type { ComparisonSheet, TreatmentSpan } from '../../core/analysis/comparison/comparison-sheet.ts';
import type { TreatmentChoices } from '../../core/analysis/comparison/treatment-file.ts';
import type { ComparisonsReply, TreatmentsBody } from '../../core/analysis/comparison-requests.ts';
import type { ExportReply, UploadReply } from '../../core/host-contract.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import type { Session } from './session.ts';
import {
  freeName,
  type StripDraft,
  type StripStep,
  sheetOfStrips,
  stripDraftOf,
  stripsAfter,
} from './strip-draft.ts';
import { useSession, useSessionState } from './use-session.ts';

/** Pages of the stage Yield. */
export type YieldPage = 'field' | 'strips' | 'totals' | 'margin';

/** A file of treatments that was sent, and what can be chosen in it. */
export interface SentTreatments {
  readonly upload: UploadReply;
  readonly choices: TreatmentChoices;
}

/** Treatments by the time at which they were cut. */
export interface TimesDraft {
  readonly field: string;
  readonly name: string;
  readonly spans: readonly TreatmentSpan[];
}

export interface ComparisonsState {
  readonly page: YieldPage;
  /** Null until the host has answered. */
  readonly reply: ComparisonsReply | null;
  readonly isAsking: boolean;
  readonly trouble: string | null;
  /** Name of the comparison that is shown; null: the first of the field. */
  readonly shown: string | null;
  /** Strips that are being drawn; null: none. */
  readonly draft: StripDraft | null;
  readonly sent: SentTreatments | null;
  /** What was cut when, while it is being said; null: nothing is. */
  readonly times: TimesDraft | null;
  /** Tables that were written as CSV. */
  readonly written: ExportReply | null;
}

const NONE: ComparisonsState = {
  page: 'field',
  reply: null,
  isAsking: false,
  trouble: null,
  shown: null,
  draft: null,
  sent: null,
  times: null,
  written: null,
};

export class Comparisons {
  readonly #session: Session;
  readonly #listeners = new Set<() => void>();
  #state: ComparisonsState = NONE;
  #season: string | null = null;
  #asked = '';

  constructor(session: Session) {
    this.#session = session;
  }

  get state(): ComparisonsState {
    return this.#state;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Asks for what compares by this sheet and build, once; the last answer stays until the new one is there. */
  async open(season: string, revision: string, build: string): Promise<void> {
    if (season !== this.#season) this.#set({ ...NONE, page: this.#state.page });
    this.#season = season;
    const asked = `${season} ${revision} ${build}`;
    if (asked === this.#asked) return;
    this.#asked = asked;
    this.#set({ isAsking: true, written: null });
    try {
      const reply = await this.#session.host.call('readComparisons', { season });
      if (asked === this.#asked) this.#set({ reply, isAsking: false, trouble: null });
    } catch (caught) {
      if (asked === this.#asked) this.#set({ isAsking: false });
      this.#tell(caught);
    }
  }

  turnTo(page: YieldPage): void {
    this.#set({ page, trouble: null });
  }

  show(name: string): void {
    this.#set({ shown: name, trouble: null });
  }

  /** Begins strips of a new comparison, or goes on with those of one. */
  draw(field: string, comparison?: ComparisonSheet): void {
    const names = (this.#session.state.season?.document.comparisons ?? []).map(({ name }) => name);
    this.#set({ draft: stripDraftOf(field, names, comparison), sent: null, trouble: null });
  }

  step(step: StripStep): void {
    const { draft } = this.#state;
    if (draft !== null) this.#set({ draft: stripsAfter(draft, step) });
  }

  leaveDraft(): void {
    this.#set({ draft: null, trouble: null });
  }

  /** Keeps what was drawn as the comparison of its name; the drawing stays where it was not taken. */
  async keepDraft(): Promise<void> {
    const { draft } = this.#state;
    if (draft === null) return;
    const comparison = sheetOfStrips(draft);
    if (!(await this.#edited({ kind: 'set_comparison', comparison }))) return;
    this.#set({ draft: null, shown: comparison.name });
  }

  async change(comparison: ComparisonSheet): Promise<void> {
    await this.#edited({ kind: 'set_comparison', comparison });
  }

  async remove(name: string): Promise<void> {
    if (await this.#edited({ kind: 'remove_comparison', name })) this.#set({ shown: null });
  }

  /** Sends a file of treatments, and says what can be chosen in it. */
  async send(file: File): Promise<void> {
    const season = this.#season;
    if (season === null) return;
    this.#set({ isAsking: true, trouble: null, sent: null });
    try {
      const upload = await this.#session.host.upload(season, file);
      const choices = await this.#session.host.readTreatments(season, upload.upload);
      if (season === this.#season) this.#set({ sent: { upload, choices }, isAsking: false });
    } catch (caught) {
      this.#set({ isAsking: false });
      this.#tell(caught);
    }
  }

  /** Begins a comparison of what was cut when. */
  time(field: string): void {
    const names = (this.#session.state.season?.document.comparisons ?? []).map(({ name }) => name);
    this.#set({ times: { field, name: freeName('Times', names), spans: [] }, trouble: null });
  }

  setTimes(change: Partial<TimesDraft>): void {
    const { times } = this.#state;
    if (times !== null) this.#set({ times: { ...times, ...change } });
  }

  leaveTimes(): void {
    this.#set({ times: null, trouble: null });
  }

  async keepTimes(): Promise<void> {
    const { times } = this.#state;
    if (times === null) return;
    const spans = times.spans.map((span) => ({ ...span, treatment: span.treatment.trim() }));
    const comparison = { name: times.name.trim(), field: times.field, spans };
    if (await this.#edited({ kind: 'set_comparison', comparison }))
      this.#set({ times: null, shown: comparison.name });
  }

  leaveFile(): void {
    this.#set({ sent: null, trouble: null });
  }

  /** Compares by the file that was sent. */
  async addFile(comparison: TreatmentsBody['comparison']): Promise<void> {
    const { sent } = this.#state;
    if (sent === null) return;
    const { host } = this.#session;
    const body = { upload: sent.upload.upload, comparison };
    const isTaken = await this.#session.change(({ season, revision }) =>
      host.call('addTreatments', { season }, { ...body, revision }),
    );
    if (isTaken) this.#set({ sent: null, shown: comparison.name });
  }

  /** The tables as CSV into the season's `out/`. */
  async write(): Promise<void> {
    const season = this.#season;
    if (season === null) return;
    this.#set({ trouble: null, written: null });
    try {
      const written = await this.#session.host.call('writeComparisons', { season });
      if (season === this.#season) this.#set({ written });
    } catch (caught) {
      this.#tell(caught);
    }
  }

  /** Whether the edit was taken; a refusal is told by the window's own line. */
  async #edited(edit: Parameters<Session['edit']>[0]): Promise<boolean> {
    await this.#session.edit(edit);
    return this.#session.state.trouble === null;
  }

  #tell(caught: unknown): void {
    if (!(caught instanceof HostTrouble)) throw caught;
    this.#set({ trouble: caught.reply.text });
  }

  #set(change: Partial<ComparisonsState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}

const OF_SESSION = new WeakMap<Session, Comparisons>();

export function comparisonsOf(session: Session): Comparisons {
  const known = OF_SESSION.get(session) ?? new Comparisons(session);
  OF_SESSION.set(session, known);
  return known;
}

export function useComparisons(): ComparisonsState {
  const comparisons = comparisonsOf(useSession());
  return useSyncExternalStore(comparisons.subscribe, () => comparisons.state);
}

/** Asks for what compares as long as it is shown. */
export function useAskedComparisons(): ComparisonsState {
  const comparisons = comparisonsOf(useSession());
  const { season, built } = useSessionState();
  const [open, revision, build] = [season?.season, season?.revision, built?.reply.build];
  useEffect(() => {
    if (open !== undefined && revision !== undefined && build !== undefined)
      void comparisons.open(open, revision, build);
  }, [comparisons, open, revision, build]);
  return useComparisons();
}
