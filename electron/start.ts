/**
 * `npm start`: the first time, on an empty library, runs the main job on the sample season and prints its totals and
 * files; then opens the window, in Electron where that is there, else in a browser.
 */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { SEASON_FILE } from '../core/season-file.ts';
import { main } from './command/main.ts';
import { electronBinary, electronPackage, fetchElectron, hasScreen } from './electron-binary.ts';
import { chosenHome } from './host/home-folder.ts';
import { programFolder } from './host/program-version.ts';
import { listSeasons } from './host/seasons-home.ts';

/** How long fetching Electron may take before the browser serves. */
const FETCH_LIMIT_MS = 120_000;

process.exitCode = await start(process.argv.slice(2));

async function start(args: readonly string[]): Promise<number> {
  if (await isFirstRun()) {
    const code = await runSample();
    if (code !== 0) return code;
  }
  const isQuiet = args.includes('--no-open') || process.env.SHEAFLIGHT_NO_OPEN === '1';
  const binary = isQuiet ? undefined : await electron();
  if (binary !== undefined) return openShell(binary);
  return main(['window', ...(isQuiet ? ['--no-open'] : [])]);
}

async function isFirstRun(): Promise<boolean> {
  const { folder } = await chosenHome(process.env);
  return (await listSeasons(folder, () => false)).length === 0;
}

async function runSample(): Promise<number> {
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
  if (code === 0) process.stdout.write('\n');
  return code;
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

/** Electron's binary; fetched once where it is missing and could be used. */
async function electron(): Promise<string | undefined> {
  const folder = electronPackage();
  if (folder === undefined || !hasScreen(process.env, process.platform)) return undefined;
  const there = electronBinary(folder, process.env);
  if (there !== undefined) return there;
  process.stdout.write('Fetching the desktop shell, once; without it the window opens in your browser.\n');
  const isFetched = await fetchElectron(folder, FETCH_LIMIT_MS);
  const fetched = isFetched ? electronBinary(folder, process.env) : undefined;
  if (fetched === undefined) process.stdout.write('It could not be fetched; the browser will do.\n');
  return fetched;
}

function openShell(binary: string): Promise<number> {
  return new Promise((resolve) => {
    const shell = spawn(binary, [join(programFolder(), 'dist', 'electron', 'main.js')], { stdio: 'inherit' });
    shell.once('error', () => resolve(main(['window'])));
    shell.once('exit', (code) => resolve(code ?? 0));
  });
}
