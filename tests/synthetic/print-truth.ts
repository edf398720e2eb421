/** `npm run truth`: how well the chain finds the truth of simulated seasons, one line a scene and seed. */

import { simulate } from './index.ts';
import { findIntervals, intervalTotals } from './interval-truth.ts';
import { cellErrors, pointErrors, type StatedErrors } from './point-truth.ts';
import { compareWithTruth, type Recovery, runSeason } from './recovery.ts';
import { TRUTH_SCENES, TRUTH_SEEDS } from './truth-scenes.ts';
import { findWrongTickets, MISTAKES, type WrongTicketFinding, wrongTicketTotals } from './wrong-tickets.ts';

const COLUMNS: readonly [title: string, of: (row: Recovery) => string][] = [
  ['scene', (row) => row.scene],
  ['seed', (row) => String(row.seed)],
  ['area %', (row) => signed(row.area_error_pct)],
  ['mass %', (row) => signed(row.mass_error_pct)],
  ['transport s', (row) => row.transport_error_s.toFixed(3)],
  ['mixing s', (row) => row.mixing_error_s.toFixed(3)],
  ['blocks', (row) => String(row.blocks)],
  ['rmse %', (row) => row.block_rmse_pct.toFixed(2)],
  ['r', (row) => row.block_r.toFixed(4)],
  ['wrong tickets', (row) => `${row.mistyped_flagged} of ${row.mistyped_tickets}`],
  ['honest accused', (row) => String(row.honest_flagged)],
  ['kept %', (row) => row.kept_pct.toFixed(1)],
];

const rows = TRUTH_SCENES.flatMap(({ make }) =>
  TRUTH_SEEDS.flatMap((seed) => {
    const scene = make(seed);
    const season = simulate(scene);
    return compareWithTruth(make.name, seed, season, runSeason(season));
  }),
);
const table = [COLUMNS.map(([title]) => title), ...rows.map((row) => COLUMNS.map(([, of]) => of(row)))];
const widths = COLUMNS.map((_, c) => Math.max(...table.map((cells) => cells[c].length)));
process.stdout.write(
  'Error of the result against the truth that the simulator knows (lags: largest over machines)\n\n',
);
for (const cells of table)
  process.stdout.write(`${cells.map((cell, c) => cell.padStart(widths[c])).join('  ')}\n`);

function signed(percent: number): string {
  return `${percent < 0 ? '−' : '+'}${Math.abs(percent).toFixed(3)}`;
}

process.stdout.write('\nErrors of the yield of points and of 10 m cells, % (root mean square)\n');
for (const { make } of TRUTH_SCENES) {
  const season = simulate(make(1));
  const result = runSeason(season);
  process.stdout.write(
    `${make.name.padStart(17)}  ${statedText('points', pointErrors(season, result))}; ${statedText('cells', cellErrors(season, result))}\n`,
  );
}

function statedText(what: string, { count, true_pct, stated_pct }: StatedErrors): string {
  return `${count} ${what}: true ${true_pct.toFixed(2)}, stated ${stated_pct.toFixed(2)}`;
}

const INTERVAL_SEASONS = 200;
const WRONG_SEASONS = 100;

const intervals = intervalTotals(Array.from({ length: INTERVAL_SEASONS }, (_, i) => findIntervals(i + 1)));
process.stdout.write(
  `\n95 % intervals of the field total over ${intervals.seasons} seasons hold the truth in: standard moisture ${intervals.standard_pct.toFixed(1)} %, as harvested ${intervals.wet_pct.toFixed(1)} %, mean yield ${intervals.yields_pct.toFixed(1)} % (92 to 98 wanted); error over standard error ${intervals.rms_standardised_error.toFixed(2)}\n`,
);
const wrongTickets = findWrongTickets(1, WRONG_SEASONS);
process.stdout.write('\nOne mistake among 4 to 12 tickets\n');
for (const mistake of MISTAKES) {
  const some = wrongTickets.filter((finding) => finding.mistake === mistake);
  process.stdout.write(`${mistake.padStart(8)}  ${wrongTicketText(some)}\n`);
}
process.stdout.write(`${'all'.padStart(8)}  ${wrongTicketText(wrongTickets)}\n`);

function wrongTicketText(findings: readonly WrongTicketFinding[]): string {
  const { seasons, caught_pct, accused_pct, median_mass_error_pct } = wrongTicketTotals(findings);
  return `${seasons} seasons: caught ${caught_pct.toFixed(1)} %, honest accused ${accused_pct.toFixed(2)} %, field mass off by ${median_mass_error_pct.toFixed(3)} % in the median`;
}
