/** `npm run bench`: how the time of the whole chain grows with the length of the log. */
import { runPipeline } from '../../core/pipeline.ts';
import { sourcesFrom } from '../synthetic/recovery.ts';
import { longSeason } from './season-copies.ts';

const SIZES = [300_000, 1_000_000, 3_000_000, 10_000_000];

process.stdout.write('  ticks (lines)   fields   seconds   ticks/s      exponent\n');
let before: { ticks: number; seconds: number } | undefined;
for (const size of SIZES) {
  const { season, files, ticks } = longSeason(size);
  const start = performance.now();
  const result = runPipeline(season, sourcesFrom(files, season), {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'bench',
  });
  const seconds = (performance.now() - start) / 1000;
  if (!result.ok) throw new Error(result.error.text);
  // slope of log time over log length since the size before: 1 is linear
  const exponent =
    before === undefined
      ? ''
      : (Math.log(seconds / before.seconds) / Math.log(ticks / before.ticks)).toFixed(2);
  const cells = [
    ticks.toLocaleString('en').padStart(15),
    String(season.fields.length).padStart(8),
    seconds.toFixed(2).padStart(9),
    Math.round(ticks / seconds)
      .toLocaleString('en')
      .padStart(12),
    exponent.padStart(9),
  ];
  process.stdout.write(`${cells.join(' ')}\n`);
  before = { ticks, seconds };
}
process.stdout.write(
  `peak memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MiB, sources included\n`,
);
