/** `npm run truth`: lag and mixing over light seasons, what unsmearing gains, and planted faults against screening. */

import { FAULT_SCENES } from './fault-scenes.ts';
import { scoreFaults } from './fault-score.ts';
import { simulate } from './index.ts';
import { findLag, lagTotals } from './lag-truth.ts';
import { runSeason } from './recovery.ts';
import { findUnsmear } from './unsmear-truth.ts';

const LAG_SEASONS = 40;
const UNSMEAR_SEASONS = 20;
const FAULT_SEEDS = [1, 2, 3, 4, 5];

const seeds = (count: number) => Array.from({ length: count }, (_, i) => i + 1);
const share = (part: number, whole: number) => `${((100 * part) / whole).toFixed(1)} %`;
const print = (line: string) => process.stdout.write(`${line}\n`);

const lags = lagTotals(seeds(LAG_SEASONS).map(findLag));
print(
  `\nLag over ${lags.seasons} light seasons: transport off by ${lags.transport_median_s.toFixed(3)} s in the median (0.15 wanted), 95 % within ${lags.transport_95_s.toFixed(3)} s (0.4 wanted); error over standard error: mean ${lags.z_mean.toFixed(2)}, deviation ${lags.z_sd.toFixed(2)} (0 and 1 wanted); mixing off by ${lags.mixing_median_s.toFixed(3)} s`,
);
print(
  `Moisture: told in ${lags.moisture_told} of ${lags.seasons}, off by ${lags.moisture_median_s.toFixed(2)} s in the median, 95 % within ${lags.moisture_95_s.toFixed(2)} s; error over standard error ${lags.moisture_rms_z.toFixed(2)}`,
);

print('\nUnsmearing where mixing is 3 s or longer: error of 5 m blocks, % of their mean');
print('seed  plain  unsmeared  change %  foreseen');
for (const { seed, plain_pct, unsmeared_pct, foreseen } of seeds(UNSMEAR_SEASONS).map((seed) =>
  findUnsmear(seed),
)) {
  const change = 100 * (unsmeared_pct / plain_pct - 1);
  print(
    `${String(seed).padStart(4)}  ${plain_pct.toFixed(2).padStart(5)}  ${unsmeared_pct.toFixed(2).padStart(9)}  ${change.toFixed(0).padStart(8)}  ${foreseen ? 'helps' : 'would help little'}`,
  );
}

print(
  '\nPlanted faults (95 % caught, 2 % of good points lost, block error within 1.10 of the oracle’s wanted)',
);
print('            scene  seed  caught  good lost  blocks %  oracle %  ratio  unscreened %');
const kinds = new Map<string, { points: number; caught: number }>();
for (const make of FAULT_SCENES) {
  for (const seed of FAULT_SEEDS) {
    const season = simulate(make(seed));
    const score = scoreFaults(season, runSeason(season));
    for (const [kind, { points, caught }] of score.kinds) {
      const sum = kinds.get(kind) ?? { points: 0, caught: 0 };
      kinds.set(kind, { points: sum.points + points, caught: sum.caught + caught });
    }
    const { block_rmse_pct, oracle_rmse_pct, unscreened_rmse_pct } = score;
    print(
      `${make.name.padStart(17)}  ${String(seed).padStart(4)}  ${share(score.caught, score.artefacts).padStart(6)}  ${share(score.lost, score.good).padStart(9)}  ${block_rmse_pct.toFixed(2).padStart(8)}  ${oracle_rmse_pct.toFixed(2).padStart(8)}  ${(block_rmse_pct / oracle_rmse_pct).toFixed(2).padStart(5)}  ${unscreened_rmse_pct.toFixed(2).padStart(12)}`,
    );
  }
}
for (const [kind, { points, caught }] of kinds) {
  print(`${kind.padStart(17)}  ${String(points).padStart(5)} points, caught ${share(caught, points)}`);
}
