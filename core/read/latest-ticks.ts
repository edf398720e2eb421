/** The latest counter of each kind of tick-log line within a run. */
import type { TickPayload } from './run-columns.ts';

const NONE = Number.NEGATIVE_INFINITY;

export class LatestTicks {
  #edge_us = NONE;
  #dark = -1;
  readonly #payload_us: Record<TickPayload['kind'], number> = {
    sentence: NONE,
    moisture: NONE,
    header: NONE,
    tilt: NONE,
  };

  /** Whether this very edge was the latest one. */
  isRepeated(tick_us: number, dark: number): boolean {
    return tick_us === this.#edge_us && dark === this.#dark;
  }

  /** Notes a line: an edge of state `dark`, or a payload of another kind. */
  note(tick_us: number, dark: number, payload: TickPayload | undefined): void {
    if (payload) {
      this.#payload_us[payload.kind] = tick_us;
    } else {
      this.#edge_us = tick_us;
      this.#dark = dark;
    }
  }

  /** Latest counter of the same kind; −∞ when there was none. */
  of(payload: TickPayload | undefined): number {
    return payload ? this.#payload_us[payload.kind] : this.#edge_us;
  }
}
