/**
 * Changes that are tried before they are made: the host works out what would come of them, and the window shows that in the
 * place of the result until the change is kept or left. While one is worked out only the newest of those asked for waits.
 */
import type { SeasonEdit } from '../../core/edits/season-edit.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import type { StateAccess } from './fetching.ts';
import { fieldPointsFrom } from './field-points.ts';
import { type Before, type Built, fieldIndexOf, type View } from './session-state.ts';

/** A tried change, with all that comes back when it is left. */
export interface Preview {
  readonly edit: SeasonEdit;
  /** What it would be called in the history. */
  readonly name: string;
  readonly kept: Built;
  readonly keptBefore: Before | null;
  readonly keptCompare: View['compare'];
}

/** How the host says that something newer took the place of what was asked for. */
const OVERTAKEN = ['overtaken', 'other_build'];

/** What previews need of the session. */
export interface PreviewHooks extends StateAccess {
  /** Shows what the host refuses. */
  readonly attempt: (work: () => Promise<void>) => Promise<void>;
}

export class Previews {
  readonly #hooks: PreviewHooks;
  /** The newest that waits. */
  #asked: SeasonEdit | null = null;
  #isWorking = false;
  /** Counts up when what is being worked out is of no more use. */
  #turn = 0;

  constructor(hooks: PreviewHooks) {
    this.#hooks = hooks;
  }

  /** Works out what `edit` would do; the promise ends when nothing waits any more. */
  async try(edit: SeasonEdit): Promise<void> {
    const { state, set } = this.#hooks;
    if (state().built === null) return;
    this.#asked = edit;
    set({ tried: edit });
    if (this.#isWorking) return;
    this.#isWorking = true;
    try {
      while (this.#asked !== null) {
        const next: SeasonEdit = this.#asked;
        this.#asked = null;
        await this.#hooks.attempt(() => this.#one(next));
      }
    } finally {
      this.#isWorking = false;
    }
  }

  /** Nothing that is on its way is shown any more; what is shown stays. */
  stop(): void {
    this.#asked = null;
    this.#turn++;
  }

  /** Shows again what is kept. */
  leave(): void {
    this.stop();
    const { state, set } = this.#hooks;
    const { preview, view, tried } = state();
    if (preview !== null)
      set({
        built: preview.kept,
        before: preview.keptBefore,
        preview: null,
        view: { ...view, compare: preview.keptCompare },
      });
    if (tried !== null) set({ tried: null });
  }

  async #one(edit: SeasonEdit): Promise<void> {
    const { host, state, set } = this.#hooks;
    const { season } = state();
    if (season === null) return;
    const turn = this.#turn;
    const { season: key, revision } = season;
    try {
      const reply = await host.call('preview', { season: key }, { revision, edit });
      if (turn !== this.#turn) return;
      const place = fieldIndexOf(state());
      const block = await host.readPoints(key, reply.build, place);
      if (turn !== this.#turn) return;
      const { built, before, preview, view } = state();
      const kept = preview?.kept ?? built;
      if (kept === null) return;
      set({
        built: { reply, points: new Map([[place, fieldPointsFrom(block)]]) },
        before: { change: reply.name, summary: kept.reply.summary, points: kept.points },
        preview: {
          edit,
          name: reply.name,
          kept,
          keptBefore: preview === null ? before : preview.keptBefore,
          keptCompare: preview === null ? view.compare : preview.keptCompare,
        },
        view: preview === null ? { ...view, compare: 'difference' } : view,
      });
    } catch (caught) {
      if (turn !== this.#turn) return;
      // Something newer came between: that one is shown.
      if (caught instanceof HostTrouble && OVERTAKEN.includes(caught.reply.code)) return;
      this.leave();
      throw caught;
    }
  }
}
