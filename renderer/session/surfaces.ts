/**
 * The surface of the field on the map: asked of the host while its stage is open. Other settings are tried first and shown in its
 * place; of several asked for one after the other the newest is made.
 */
import { useEffect, useSyncExternalStore } from 'react';
import type { Patch } from '../../core/edits/season-edit.ts';
import type { JobReply } from '../../core/host-contract.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import type { Session } from './session.ts';
import { fieldIndexOf } from './session-state.ts';
import { type ShownSurface, surfaceFrom } from './shown-surface.ts';
import { cellSettings, changeBetween, changedSheet } from './surface-draft.ts';
import { useSession, useSessionState } from './use-session.ts';

export type { ShownSurface };

export interface SurfaceState {
  /** The last one that came, also while another is being made. */
  readonly surface: ShownSurface | null;
  /** The last one by the season's own settings: what tried ones are told against. */
  readonly own: ShownSurface | null;
  /** Settings that are tried, as a whole; null: none, the season's own hold. */
  readonly draft: SurfaceSheet | null;
  /** Whether one is on its way; `job` tells how far it is, once it has begun. */
  readonly isMaking: boolean;
  readonly job: JobReply | null;
  /** Someone stopped the making of what would be shown now. */
  readonly isStopped: boolean;
  /** Why there is none as it was asked for. */
  readonly trouble: string | null;
  /** Whether the lines of the zones are on the map. */
  readonly isZoned: boolean;
  /** Whether the map shows yields in the classes of the sheet. */
  readonly isClassed: boolean;
  /** How the tried surface is laid against the kept one. */
  readonly compare: 'off' | 'split' | 'difference';
}

const NONE: SurfaceState = {
  surface: null,
  own: null,
  draft: null,
  isMaking: false,
  job: null,
  isStopped: false,
  trouble: null,
  isZoned: false,
  isClassed: false,
  compare: 'off',
};

/** What a surface is asked for by. */
export interface AskedSurface {
  readonly season: string;
  readonly build: string;
  /** Place of the field in the result. */
  readonly place: number;
  readonly sheet: SurfaceSheet;
}

/** Who drags or types goes on for a moment: only what stands so long is made. */
const STILL_MS = 300;

export class Surfaces {
  readonly #session: Session;
  readonly #listeners = new Set<() => void>();
  #state: SurfaceState = NONE;
  /** What was asked for last. */
  #asked = '';
  #season: string | null = null;
  #watching = new AbortController();
  #waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(session: Session) {
    this.#session = session;
  }

  get state(): SurfaceState {
    return this.#state;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Makes the surface and shows it; tried ones once nothing newer was asked for in a moment. */
  show(asked: AskedSurface): void {
    const last = this.#season;
    this.#season = asked.season;
    if (last !== null && last !== asked.season) {
      // What was tried in another season is not meant for this one, whose own settings are asked for next.
      const wasTried = this.#state.draft !== null;
      this.#set({ surface: null, own: null, draft: null, compare: 'off' });
      if (wasTried) return;
    }
    const key = keyOf(asked);
    if (key === this.#asked) return;
    this.#asked = key;
    clearTimeout(this.#waiting);
    this.#watching.abort();
    this.#set({ isMaking: true, job: null, isStopped: false, trouble: null });
    const make = () => void this.#make(asked, key);
    if (this.#state.draft === null) make();
    else this.#waiting = setTimeout(make, STILL_MS);
  }

  /** Asks again for what was stopped or failed. */
  again(asked: AskedSurface): void {
    this.#asked = '';
    this.show(asked);
  }

  /** Ends the making of a surface; what is shown stays. */
  async stop(): Promise<void> {
    const { job } = this.#state;
    clearTimeout(this.#waiting);
    this.#watching.abort();
    this.#set({ isMaking: false, job: null, isStopped: true });
    if (job !== null) await this.#session.host.call('cancelJob', { job: job.job }).catch(() => undefined);
  }

  /** Tries other settings, on top of those that are being tried. */
  try(change: Patch<SurfaceSheet>): void {
    const own = this.#ownSheet();
    const draft = changedSheet(this.#state.draft ?? own, change);
    this.#set({ draft: changeBetween(own, draft) === null ? null : draft });
  }

  /** Nothing is tried any more. */
  leave(): void {
    const { own, surface } = this.#state;
    this.#set({ draft: null, surface: own ?? surface, trouble: null, isStopped: false, compare: 'off' });
  }

  /** Writes what is tried into the season, with a last change on top where there is one. */
  async keep(last: Patch<SurfaceSheet> = {}): Promise<void> {
    this.try(last);
    const { draft } = this.#state;
    if (draft === null) return;
    const change = changeBetween(this.#ownSheet(), draft);
    if (change !== null) await this.#session.edit({ kind: 'set_surface', change });
    const { surface, isMaking, own } = this.#state;
    // Else it was refused, which the window says, and goes on being tried.
    if (changeBetween(this.#ownSheet(), draft) === null)
      this.#set({ draft: null, own: isMaking ? own : surface, compare: 'off' });
  }

  look(change: Partial<Pick<SurfaceState, 'isZoned' | 'isClassed' | 'compare'>>): void {
    this.#set(change);
  }

  #ownSheet(): SurfaceSheet {
    return this.#session.state.season?.document.settings?.surface ?? {};
  }

  async #make({ season, build, place, sheet }: AskedSurface, key: string): Promise<void> {
    const isWanted = () => key === this.#asked;
    const { host } = this.#session;
    const isTried = this.#state.draft !== null;
    const watching = new AbortController();
    this.#watching = watching;
    try {
      const settings = cellSettings(sheet);
      const job = await host.call('makeSurface', { season, build, field: String(place) }, settings);
      const ended = await host.watchJob(
        job.job,
        (state) => isWanted() && this.#set({ job: state }),
        watching.signal,
      );
      if (!isWanted()) return;
      if (ended.state !== 'done') return this.#failed(ended.error?.text ?? null);
      const surface = surfaceFrom(await host.readSurface(season, build, place, settings), build);
      if (!isWanted()) return;
      this.#set({ surface, isMaking: false, job: null, ...(isTried ? {} : { own: surface }) });
    } catch (caught) {
      if (caught instanceof DOMException && caught.name === 'AbortError') return;
      if (!(caught instanceof HostTrouble)) throw caught;
      // A newer result is on its way to the window, which will ask for a surface of it.
      if (isWanted() && caught.reply.code !== 'other_build') this.#failed(caught.reply.text);
    }
  }

  /** Without words: it was stopped. */
  #failed(trouble: string | null): void {
    this.#set({ isMaking: false, job: null, trouble, isStopped: trouble === null });
  }

  #set(change: Partial<SurfaceState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}

function keyOf({ season, build, place, sheet }: AskedSurface): string {
  return JSON.stringify([season, build, place, cellSettings(sheet)]);
}

const OF_SESSION = new WeakMap<Session, Surfaces>();

export function surfacesOf(session: Session): Surfaces {
  const known = OF_SESSION.get(session) ?? new Surfaces(session);
  OF_SESSION.set(session, known);
  return known;
}

/** Whether a tried surface has the cells of the kept one, so that they can be told from each other one by one. */
export function haveSameCells(one: ShownSurface, other: ShownSurface): boolean {
  return one.cell_m === other.cell_m && one.columns.yield_kg_m2.length === other.columns.yield_kg_m2.length;
}

/** What is shown of surfaces, by which settings. */
export interface SurfaceView extends SurfaceState {
  /** The season's own settings, or those that are tried. */
  readonly sheet: SurfaceSheet;
  /** What is asked for; null while there is nothing to make a surface of. */
  readonly asked: AskedSurface | null;
}

/** The surface of the field on the map while the stage Surface is open; it is made when it is not there. */
export function useSurface(): SurfaceView {
  const session = useSession();
  const state = useSessionState();
  const surfaces = surfacesOf(session);
  const found = useSyncExternalStore(surfaces.subscribe, () => surfaces.state);
  const season = state.season?.season;
  const build = state.built?.reply.build;
  const place = fieldIndexOf(state);
  const isOpen = state.view.stage === 'surface';
  const sheet = found.draft ?? state.season?.document.settings?.surface ?? NO_SETTINGS;
  const asked =
    season === undefined || build === undefined || place < 0 ? null : { season, build, place, sheet };
  const key = asked === null ? '' : keyOf(asked);
  // biome-ignore lint/correctness/useExhaustiveDependencies: `key` says all of what is asked for
  useEffect(() => {
    if (isOpen && asked !== null) surfaces.show(asked);
  }, [surfaces, isOpen, key]);
  const field = state.built?.reply.points[place]?.field;
  if (!isOpen) return { ...NONE, sheet, asked };
  const ofField = (one: ShownSurface | null) => (one?.field === field ? one : null);
  return { ...found, surface: ofField(found.surface), own: ofField(found.own), sheet, asked };
}

const NO_SETTINGS: SurfaceSheet = {};
