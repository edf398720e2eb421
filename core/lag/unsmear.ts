/**
 * Unsmearing, an option that is off by default: threshing mixes grain that was cut within some seconds (first order, τ), and
 * this puts it back, approximately, to when it was cut.
 *
 * Richardson–Lucy iteration [Richardson 1972, Lucy 1974] with the machine's own response h(u) = exp(−u/τ)/τ, started from the
 * ground: with a the fresh area per step and q the flow per step (moved back by the transport lag),
 *
 *   x⁰ = a,   xⁿ⁺¹ₖ = xⁿₖ · Σⱼ hⱼ₋ₖ qⱼ / (h ⊗ xⁿ)ⱼ
 *
 * Every iterate has the same total as q and none is negative. The first one is the distribution of the accumulated mass in
 * proportion to what was fed in (He, Bai, Lian); further ones sharpen and add noise, so that stopping early is the
 * regularisation. What flowed while no ground could have fed it stays where it is.
 */

export interface Unsmeared {
  /** Amount per step, moved to the time of cutting; same total as the flow. */
  readonly amount: Float64Array;
  /** Scatter between neighbouring steps after over before (robust): the noise that unsmearing adds. */
  readonly noise_gain: number;
}

/** Ground that fed less than this share of the usual into a step is no ground. */
const LEAST_FEED = 1e-3;

/**
 * `flow` and `area` are amounts per step of `step_s`, the flow already moved back by the transport lag; one element a
 * step. `iterations` ≥ 1. Negative flow (noise about the empty level) is left in its place.
 */
export function unsmear(
  flow: Float64Array,
  area: Float64Array,
  step_s: number,
  mixing_s: number,
  iterations: number,
): Unsmeared {
  if (!(mixing_s > 0)) throw new RangeError(`Unsmearing needs a mixing above 0 s, not ${mixing_s}.`);
  if (!(iterations >= 1)) throw new RangeError(`Unsmearing needs at least one iteration, not ${iterations}.`);
  const n = flow.length;
  const decay = Math.exp(-step_s / mixing_s);
  const usual = usualFeed(area);
  const seen = new Float64Array(n);
  const ratio = new Float64Array(n);
  const kept = new Float64Array(n);
  let estimate: Float64Array = area.slice();
  for (let round = 0; round < iterations; round++) {
    forward(estimate, decay, seen);
    const floor = LEAST_FEED * (round === 0 ? usual : usualFeed(estimate));
    for (let j = 0; j < n; j++) {
      const fed = seen[j] > floor && flow[j] > 0;
      ratio[j] = fed ? flow[j] / seen[j] : 0;
      kept[j] = fed ? 0 : flow[j];
    }
    const back = backward(ratio, decay);
    estimate = estimate.map((x, k) => x * back[k]);
  }
  // the response is cut off at the record's end: what it would have shown there later goes back in proportion
  const credited = sum(estimate);
  const wanted = sum(flow) - sum(kept);
  const scale = credited > 0 ? wanted / credited : 0;
  const amount = estimate.map((x, k) => x * scale + kept[k]);
  return { amount, noise_gain: roughness(amount) / roughness(flow) };
}

/** (h ⊗ x): first-order response of a step's input, the input taken in the middle of its step. */
function forward(x: Float64Array, decay: number, out: Float64Array): void {
  let held = 0;
  for (let j = 0; j < x.length; j++) {
    held = decay * held + (1 - decay) * x[j];
    out[j] = held;
  }
}

/** Σⱼ hⱼ₋ₖ rⱼ: the same response run backwards. */
function backward(r: Float64Array, decay: number): Float64Array {
  const out = new Float64Array(r.length);
  let held = 0;
  for (let k = r.length - 1; k >= 0; k--) {
    held = decay * held + (1 - decay) * r[k];
    out[k] = held;
  }
  return out;
}

/** Mean of the steps that have any ground. */
function usualFeed(area: Float64Array): number {
  let total = 0;
  let count = 0;
  for (const a of area) {
    if (a <= 0) continue;
    total += a;
    count++;
  }
  return count > 0 ? total / count : 0;
}

/** Mean absolute second difference. */
function roughness(column: Float64Array): number {
  let total = 0;
  for (let k = 2; k < column.length; k++) total += Math.abs(column[k] - 2 * column[k - 1] + column[k - 2]);
  return total;
}

function sum(column: Float64Array): number {
  return column.reduce((a, b) => a + b, 0);
}
