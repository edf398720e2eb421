/** Export of layers into files: what is chosen, how far the writing is, and what was written. */
import { useEffect, useSyncExternalStore } from 'react';
import type { LayerExportChoice, LayerExportReply } from '../../core/export/layers/layer-choice.ts';
import type { JobReply } from '../../core/host-contract.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import type { Session } from './session.ts';
import { useSession } from './use-session.ts';

/** All but the fields is remembered by the host from one season to the next. */
export type RememberedChoice = Omit<LayerExportChoice, 'fields'>;

export interface LayerExportState {
  /** Null until someone has chosen, or the host has said what was chosen last. */
  readonly choice: RememberedChoice | null;
  /** Names of the fields; null: all. */
  readonly fields: readonly string[] | null;
  /** While files are being written. */
  readonly job: JobReply | null;
  readonly isWriting: boolean;
  readonly written: LayerExportReply | null;
  readonly isStopped: boolean;
  readonly trouble: string | null;
}

const NONE: LayerExportState = {
  choice: null,
  fields: null,
  job: null,
  isWriting: false,
  written: null,
  isStopped: false,
  trouble: null,
};

/** What is chosen the first time: the points for a GIS. */
export function firstChoice(units: RememberedChoice['units']): RememberedChoice {
  return { layers: ['points'], formats: ['geojson'], points: 'kept', units, files: 'together' };
}

export class LayerExports {
  readonly #session: Session;
  readonly #listeners = new Set<() => void>();
  #state: LayerExportState = NONE;
  #isAsked = false;
  #season: string | null = null;

  constructor(session: Session) {
    this.#session = session;
  }

  get state(): LayerExportState {
    return this.#state;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Asks once what was chosen last; another season begins with all its fields and nothing written. */
  async open(season: string): Promise<void> {
    if (season !== this.#season) this.#set({ ...NONE, choice: this.#state.choice });
    this.#season = season;
    if (this.#isAsked) return;
    this.#isAsked = true;
    try {
      const { choice } = await this.#session.host.call('readExportChoice', {});
      if (this.#state.choice === null && choice !== null) this.#set({ choice });
    } catch (caught) {
      // What was remembered is a convenience: without it there are the defaults.
      if (!(caught instanceof HostTrouble)) throw caught;
    }
  }

  choose(choice: RememberedChoice): void {
    this.#set({ choice, trouble: null });
  }

  chooseFields(fields: readonly string[] | null): void {
    this.#set({ fields, trouble: null });
  }

  async write(choice: LayerExportChoice): Promise<void> {
    const season = this.#season;
    if (season === null || this.#state.isWriting) return;
    const { host } = this.#session;
    const { fields: _, ...remembered } = choice;
    this.#set({
      choice: remembered,
      isWriting: true,
      job: null,
      written: null,
      isStopped: false,
      trouble: null,
    });
    try {
      const asked = await host.call('exportLayers', { season }, choice);
      this.#tell(season, { job: asked });
      const watching = new AbortController();
      const ended = await host.watchJob(asked.job, (job) => this.#tell(season, { job }), watching.signal);
      this.#tell(season, {
        isWriting: false,
        job: null,
        written: ended.exported ?? null,
        isStopped: ended.state === 'cancelled',
        trouble: ended.state === 'failed' ? (ended.error?.text ?? null) : null,
      });
    } catch (caught) {
      if (!(caught instanceof HostTrouble)) throw caught;
      this.#tell(season, { isWriting: false, job: null, trouble: caught.reply.text });
    }
  }

  /** Asks the writing to end; nothing is left half written. */
  async stop(): Promise<void> {
    const { job } = this.#state;
    if (job !== null) await this.#session.host.call('cancelJob', { job: job.job });
  }

  /** Of the season that is open: what comes of another one's writing is not shown here. */
  #tell(season: string, change: Partial<LayerExportState>): void {
    if (season === this.#season) this.#set(change);
  }

  #set(change: Partial<LayerExportState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}

const OF_SESSION = new WeakMap<Session, LayerExports>();

export function layerExportsOf(session: Session): LayerExports {
  const known = OF_SESSION.get(session) ?? new LayerExports(session);
  OF_SESSION.set(session, known);
  return known;
}

export function useLayerExports(season: string | undefined): LayerExportState {
  const exports = layerExportsOf(useSession());
  useEffect(() => {
    if (season !== undefined) void exports.open(season);
  }, [exports, season]);
  return useSyncExternalStore(exports.subscribe, () => exports.state);
}
