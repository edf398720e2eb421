/**
 * Which loads contradict the others: a mistyped ticket, a weight from another load, wrong times.
 *
 * A wrong load must not hide itself by pulling the fit (masking), must not make honest ones look bad (swamping), and a
 * sensor whose zero is off or whose gain bends, which makes loads of unusual flow look bad under a plain gain, must not be
 * taken for a wrong ticket. So every set of loads that might be wrong is weighed under every model. A load is called wrong
 * when the sets that hold it outweigh those that do not: no plausible model accounts for it.
 *
 * Two tickets that were exchanged are weighed as such: exchanged back, all loads agree. Even of four loads that shows,
 * where two that are wrong at random could not be told from the other two.
 */
import { median } from '../stats/quantiles.ts';
import { deletionResidual } from './deletion-residual.ts';
import { explanationsOf, jointCost } from './load-evidence.ts';
import type { LoadRatios } from './ratio-fit.ts';

/** Numbers of the search; each may be set. */
export interface WrongLoadOptions {
  /** A load is called wrong only when it is off by more than this, % of what the others expect, … */
  readonly least_error_pct?: number;
  /** … and wrong with more than this probability. */
  readonly least_probability?: number;
}
const DEFAULTS = { least_error_pct: 2.5, least_probability: 0.5 } as const;

/** Best sets of each size from which the next size is grown; fewer of them where the loads are so many that weighing takes long. */
const SETS_KEPT = 24;
const LEAST_KEPT = 4;
const WEIGHINGS_OF_A_SIZE = 1e7;
/** Loads that are sought as wrong together; where more are, it is not tickets that are wrong. */
const MOST_WRONG = 20;
/** Sizes in a row that may be no better before the search ends: a few wrong loads may hide each other. */
const PATIENCE = 3;

/**
 * 1 for each load that is more likely wrong than not; sets of up to a third of the loads, and of twenty, are weighed, so that
 * nothing is said of two.
 * @throws RangeError when an element is not finite or an expected deviation is not positive.
 */
export function estimateWrongLoads(loads: LoadRatios, options: WrongLoadOptions = {}): Uint8Array {
  refuseBadInput(loads);
  const { least_error_pct, least_probability } = { ...DEFAULTS, ...options };
  const suspected = Uint8Array.from(wrongProbabilities(loads), (p) => (p > least_probability ? 1 : 0));
  const { byModel } = explanationsOf(loads)(suspected);
  const [likeliest] = [...byModel].sort((a, b) => a.cost - b.cost);
  return suspected.map((is, i) => {
    if (is === 0) return 0;
    const { expected_ratio } = deletionResidual(loads, suspected, likeliest.model, i);
    return Math.abs(loads.ratio[i] / expected_ratio - 1) > least_error_pct / 100 ? 1 : 0;
  });
}

/** Probability that each load is wrong. */
function wrongProbabilities(loads: LoadRatios): Float64Array {
  const sets = [...weighedSets(loads), ...weighedExchanges(loads)];
  const total = jointCost(sets.map((set) => set.cost));
  const probability = new Float64Array(loads.ratio.length);
  for (const { wrong, cost } of sets) {
    const share = Math.exp((total - cost) / 2);
    for (let i = 0; i < wrong.length; i++) if (wrong[i] === 1) probability[i] += share;
  }
  return probability;
}

/** Loads that may be wrong together. */
interface WrongSet {
  readonly wrong: Uint8Array;
  readonly cost: number;
}

/** One season in so many has two tickets exchanged; ours. */
const ONE_EXCHANGE_IN = 30;
/** Pairs are tried among so many loads at most. */
const MOST_FOR_EXCHANGES = 60;
/** Loads of which two exchanged leave enough to be told by. */
const LEAST_FOR_EXCHANGES = 4;

/** Every two loads whose ratios both come nearer to the usual one, as if each carried the other's weight and no load were wrong otherwise. */
function weighedExchanges(loads: LoadRatios): WrongSet[] {
  const n = loads.ratio.length;
  if (n < LEAST_FOR_EXCHANGES || n > MOST_FOR_EXCHANGES) return [];
  const rarity = 2 * Math.log((ONE_EXCHANGE_IN * n * (n - 1)) / 2);
  const none = new Uint8Array(n);
  const usual = median(loads.ratio);
  const sets: WrongSet[] = [];
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      const ratio = loads.ratio.slice();
      const sizes = loads.beam_kg[j] / loads.beam_kg[i];
      ratio[i] = loads.ratio[j] * sizes;
      ratio[j] = loads.ratio[i] / sizes;
      const nearer = [i, j].every((at) => Math.abs(ratio[at] - usual) < Math.abs(loads.ratio[at] - usual));
      if (!nearer) continue;
      const { cost } = explanationsOf({ ...loads, ratio })(none);
      const wrong = none.slice();
      wrong[i] = 1;
      wrong[j] = 1;
      sets.push({ wrong, cost: cost + rarity });
    }
  return sets;
}

/** Sets of growing size, each grown from the best of the size before. */
function weighedSets(loads: LoadRatios): WrongSet[] {
  const weigh = explanationsOf(loads);
  const weighed = (wrong: Uint8Array): WrongSet => ({ wrong, cost: weigh(wrong).cost });
  const n = loads.ratio.length;
  const most = Math.min(MOST_WRONG, Math.floor(n / 3));
  const kept = Math.max(LEAST_KEPT, Math.min(SETS_KEPT, Math.floor(WEIGHINGS_OF_A_SIZE / n ** 2)));
  const none = weighed(new Uint8Array(loads.ratio.length));
  const sets = [none];
  let best = sets.slice();
  let least = none.cost;
  for (let size = 1, idle = 0; size <= most && idle < PATIENCE; size++) {
    const grown = grownSets(best.map((set) => set.wrong)).map(weighed);
    for (const set of grown) sets.push(set);
    best = grown.sort((a, b) => a.cost - b.cost).slice(0, kept);
    idle = best[0].cost < least ? 0 : idle + 1;
    least = Math.min(least, best[0].cost);
  }
  return sets;
}

/** Every set with one load more, each once. */
function grownSets(sets: readonly Uint8Array[]): Uint8Array[] {
  const grown = new Map<string, Uint8Array>();
  for (const wrong of sets)
    for (let i = 0; i < wrong.length; i++) {
      if (wrong[i] === 1) continue;
      const larger = wrong.slice();
      larger[i] = 1;
      grown.set(larger.join(''), larger);
    }
  return [...grown.values()];
}

function refuseBadInput({ ratio, inverse_flow_s_kg, mean_fill, ratio_sigma }: LoadRatios): void {
  for (let i = 0; i < ratio.length; i++) {
    const predictors = [inverse_flow_s_kg[i], mean_fill.length > 0 ? mean_fill[i] : 0];
    if (!(Number.isFinite(ratio[i]) && predictors.every(Number.isFinite)))
      throw new RangeError(
        `Load ${i} has a ratio of ${ratio[i]}, and predictors of ${predictors.join(', ')}.`,
      );
    if (!(ratio_sigma[i] > 0))
      throw new RangeError(`Load ${i} has an expected deviation of ${ratio_sigma[i]}.`);
  }
}
