/** What the logger sees of the paddles: edges in time order, with chatter, without those that went missing. */
import type { Paddles } from './elevator.ts';
import type { Random } from './random.ts';

/** Edges of one machine in one field, ascending, true seconds from the log's start. */
export interface BeamEdgeEvents {
  readonly t_s: Float64Array;
  /** 1 the beam went dark, 0 it became lit. */
  readonly dark: Uint8Array;
  /** Lit gaps inside dark runs. */
  readonly chatterGaps: number;
  /** Dark blips inside lit runs. */
  readonly chatterBlips: number;
  readonly missing: number;
}

const CHATTER_MEAN_S = 0.00025;
const CHATTER_LONGEST_S = 0.0009;
/** Chatter needs chaff: with an empty paddle it is this much rarer. */
const EMPTY_SHARE = 0.1;
const LOADED_MM = 3;

/** Edges of the paddles, with `chatter_per_s` flickers a second of loaded running and `missing` edges left out at random. */
export function beamEdges(
  paddles: Paddles,
  chatter_per_s: number,
  missing: number,
  random: Random,
): BeamEdgeEvents {
  const times: number[] = [];
  const states: number[] = [];
  let gaps = 0;
  let blips = 0;
  const add = (t_s: number, dark: number): void => {
    times.push(t_s);
    states.push(dark);
  };
  /** A flicker of the opposite state inside from..to, with the probability of one in that time. */
  const flicker = (from_s: number, to_s: number, inside: number, rate: number): boolean => {
    const chance = random.uniform();
    const length = Math.min(CHATTER_LONGEST_S, 0.00003 + random.exponential(CHATTER_MEAN_S));
    const start = from_s + random.uniform() * (to_s - from_s);
    if (chance >= rate * (to_s - from_s) || start + length >= to_s - 1e-5 || start <= from_s + 1e-5)
      return false;
    add(start, inside);
    add(start + length, 1 - inside);
    return true;
  };
  for (let i = 0; i < paddles.trailing_s.length; i++) {
    const before = i > 0 ? paddles.trailing_s[i - 1] : 0;
    const rate = chatter_per_s * (paddles.heap_mm[i] > LOADED_MM ? 1 : EMPTY_SHARE);
    if (paddles.full[i] === 1) {
      // The heap reaches the paddle above: the beam never saw that one leave.
      if (times.length > 0 && states[states.length - 1] === 0) {
        times.pop();
        states.pop();
      }
    } else {
      if (i > 0 && chatter_per_s > 0 && flicker(before, paddles.onset_s[i], 1, rate)) blips++;
      add(paddles.onset_s[i], 1);
    }
    if (chatter_per_s > 0 && flicker(paddles.onset_s[i], paddles.trailing_s[i], 0, rate)) gaps++;
    add(paddles.trailing_s[i], 0);
  }
  const lost = new Set<number>();
  while (lost.size < Math.min(missing, times.length)) lost.add(random.integer(times.length));
  const kept = times.map((_, i) => i).filter((i) => !lost.has(i));
  return {
    t_s: Float64Array.from(kept, (i) => times[i]),
    dark: Uint8Array.from(kept, (i) => states[i]),
    chatterGaps: gaps,
    chatterBlips: blips,
    missing: lost.size,
  };
}
