/** `npm start`: runs the main job on the sample season and opens the report. Asks nothing, needs no browser. */
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { SEASON_FILE } from '../core/season-file.ts';
import { main } from './command/main.ts';
import { openFile } from './host/opener.ts';
import { programFolder } from './host/program-version.ts';

process.exitCode = await start(process.argv.slice(2));

async function start(args: readonly string[]): Promise<number> {
  const samples = join(programFolder(), 'sample-data');
  if (sampleSeason(samples) === undefined) makeSample();
  const sample = sampleSeason(samples);
  if (sample === undefined) {
    process.stderr.write(
      'sample-data/ holds no season folder, and making one failed: see "npm run sample".\n',
    );
    return 2;
  }
  const code = await main(['build', sample]);
  if (code !== 0) return code;
  const report = join(sample, 'out', 'report.html');
  const isOpened = !args.includes('--no-open') && (await openFile(report));
  process.stdout.write(`\nReport${isOpened ? ' (opening)' : ''}: ${report}\n`);
  return 0;
}

/** Someone has deleted the sample season: the simulator makes the same one again. */
function makeSample(): void {
  const maker = join(programFolder(), 'dist', 'tests', 'synthetic', 'write-sample.js');
  spawnSync(process.execPath, [maker], { stdio: 'inherit' });
}

/** The one folder of `sample-data/` that is a season. */
function sampleSeason(samples: string): string | undefined {
  if (!existsSync(samples)) return undefined;
  const season = readdirSync(samples).find((name) => existsSync(join(samples, name, SEASON_FILE)));
  return season === undefined ? undefined : join(samples, season);
}
