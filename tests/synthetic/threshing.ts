/**
 * From the header to the beam: a pure delay, then first-order mixing, τ·dy/dt + y = x(t − L), solved exactly for
 * an input that is constant within a step. Dry matter and water travel together.
 */
import { STEP_S } from './drive.ts';

/** Grain at the beam; row k is the step from k·STEP_S to (k+1)·STEP_S. */
export interface GrainFlow {
  readonly wet_kg: Float64Array;
  readonly water_kg: Float64Array;
  /** Wet mass still between header and beam at the end. */
  readonly inside_kg: number;
}

/** Kilograms per step at the header → at the beam, `transport_s` later and mixed with time constant `mixing_s`. */
export function threshed(
  wet_kg: Float64Array,
  water_kg: Float64Array,
  transport_s: number,
  mixing_s: number,
): GrainFlow {
  const wet = respond(wet_kg, transport_s, mixing_s);
  const water = respond(water_kg, transport_s, mixing_s);
  return { wet_kg: wet.out, water_kg: water.out, inside_kg: wet.inside };
}

/**
 * Amounts per step in → amounts per step out. `delay_s` must be a multiple of the step. The amount inside at the
 * end (delay line and mixing) makes the balance exact: sum in = sum out + inside.
 */
export function respond(
  amountIn: Float64Array,
  delay_s: number,
  mixing_s: number,
): { out: Float64Array; inside: number } {
  const delay = Math.round(delay_s / STEP_S);
  if (Math.abs(delay * STEP_S - delay_s) > 1e-9 || delay < 0) {
    throw new RangeError(`a delay must be a multiple of ${STEP_S} s and not negative, got ${delay_s} s`);
  }
  if (!(mixing_s > 0)) throw new RangeError(`a mixing time must be positive, got ${mixing_s} s`);
  const n = amountIn.length;
  const kept = Math.exp(-STEP_S / mixing_s);
  const out = new Float64Array(n);
  let rate = 0;
  let inside = 0;
  for (let k = 0; k < n; k++) {
    const input = k >= delay ? amountIn[k - delay] / STEP_S : 0;
    out[k] = input * STEP_S + (rate - input) * mixing_s * (1 - kept);
    rate = input + (rate - input) * kept;
  }
  for (let k = Math.max(0, n - delay); k < n; k++) inside += amountIn[k];
  return { out, inside: inside + rate * mixing_s };
}

/**
 * What the moisture sensor shows: the moisture of the grain that reaches it, delayed and mixed; while no grain comes
 * the last grain stays in the chamber and is shown on. NaN until the first grain. % wet basis at the end of each step.
 */
export function shownMoisture_pct(flow: GrainFlow, delay_s: number, mixing_s: number): Float64Array {
  const delay = Math.round(delay_s / STEP_S);
  const kept = Math.exp(-STEP_S / mixing_s);
  const shown = new Float64Array(flow.wet_kg.length).fill(Number.NaN);
  let state = Number.NaN;
  for (let k = 0; k < shown.length; k++) {
    const source = k - delay;
    // Below 0.1 kg/s nothing reaches the chamber.
    if (source >= 0 && flow.wet_kg[source] > 0.1 * STEP_S) {
      const arriving = (100 * flow.water_kg[source]) / flow.wet_kg[source];
      state = Number.isNaN(state) ? arriving : arriving + (state - arriving) * kept;
    }
    shown[k] = state;
  }
  return shown;
}
