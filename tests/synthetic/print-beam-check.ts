/** Part of `npm run truth`: how well the beam check names simulated faults, and how often it calls sound logs sound. */
import { scoreFault, scoreSound } from './beam-check-score.ts';
import { FAULTS } from './session-faults.ts';

const SEEDS = Array.from({ length: 20 }, (_, k) => 1000 + k);
const SOUND_SEEDS = Array.from({ length: 200 }, (_, k) => 5000 + k);

const isTalkative = process.argv.includes('--misses');
process.stdout.write(
  `\nBeam check: ${FAULTS.length} faults × ${SEEDS.length} first sessions, and ${SOUND_SEEDS.length} sound ones\n\n`,
);
const scores = FAULTS.map((fault) => scoreFault(fault, SEEDS));
const width = Math.max(...scores.map(({ name }) => name.length));
process.stdout.write(`${'fault'.padStart(width)}  right verdict  cause in first two\n`);
for (const { name, seeds, right_verdict, named, misses } of scores) {
  const of = (count: number) => `${count} of ${seeds}`;
  process.stdout.write(
    `${name.padStart(width)}  ${of(right_verdict).padStart(13)}  ${of(named).padStart(18)}\n`,
  );
  if (isTalkative) for (const miss of misses.slice(0, 4)) process.stdout.write(`    ${miss}\n`);
}
const all = scores.reduce((sum, { seeds }) => sum + seeds, 0);
const share = (count: number, of: number) => `${((100 * count) / of).toFixed(1)} %`;
const right = scores.reduce((sum, { right_verdict }) => sum + right_verdict, 0);
const named = scores.reduce((sum, score) => sum + score.named, 0);
const sound = scoreSound(SOUND_SEEDS);
process.stdout.write(
  `\nright verdict ${share(right, all)}, cause in the first two ${share(named, all)}, sound called sound ${share(sound.good, SOUND_SEEDS.length)}\n`,
);
if (isTalkative) for (const miss of sound.misses.slice(0, 12)) process.stdout.write(`    ${miss}\n`);
