/** Scenes and seeds of the truth table, with what the program must reach in each. Nothing is tuned to them. */
import {
  contourNoHeader,
  everythingWrong,
  plain,
  type Scene,
  singleFieldTicket,
  twoMachines,
} from './index.ts';

export interface TruthScene {
  readonly make: (seed: number) => Scene;
  /** Largest root mean square error of 10 m block means, % of the mean. */
  readonly block_rmse_pct: number;
  /** Least correlation of block means; only asked where nothing is damaged. */
  readonly block_r: number;
}

export const TRUTH_SEEDS: readonly number[] = [1, 2, 3];

export const TRUTH_SCENES: readonly TruthScene[] = [
  { make: plain, block_rmse_pct: 2.3, block_r: 0.99 },
  { make: twoMachines, block_rmse_pct: 2.3, block_r: 0.99 },
  { make: contourNoHeader, block_rmse_pct: 2.3, block_r: 0.99 },
  { make: singleFieldTicket, block_rmse_pct: 2.3, block_r: 0.99 },
  { make: everythingWrong, block_rmse_pct: 2.3, block_r: 0.99 },
];
