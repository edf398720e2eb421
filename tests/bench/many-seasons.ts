/**
 * `node dist/tests/bench/many-seasons.js [copies]`: copies of the sample season built by `build --all` with one process at a time and with
 * two, then once more unchanged. On a machine that is busy with other things the ratio says little; the load stands beside it.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { programFolder } from '../../electron/host/program-version.ts';

const copies = Number(process.argv[2] ?? 12);
const samples = join(programFolder(), 'sample-data');
const sample = readdirSync(samples).find((name) => existsSync(join(samples, name, 'season.json')));
if (sample === undefined) throw new Error('run "npm run sample" first');
const home = mkdtempSync(join(tmpdir(), 'sheaflight-many-'));
for (let copy = 0; copy < copies; copy++) {
  const folder = join(home, `season-${copy}`);
  mkdirSync(folder);
  for (const name of ['season.json', 'logs', 'tickets', 'boundaries'])
    cpSync(join(samples, sample, name), join(folder, name), { recursive: true });
}

function built_s(...options: readonly string[]): number {
  const begun_ms = performance.now();
  const command = join(programFolder(), 'electron/command/sheaflight.mjs');
  const args = [command, 'build', '--all', home, '--quiet', ...options];
  const { status } = spawnSync(process.execPath, args, { stdio: 'inherit' });
  if (status !== 0) throw new Error(`ended with ${status}`);
  const wall_s = (performance.now() - begun_ms) / 1000;
  const words = `${options.join(' ').padEnd(28)}${wall_s.toFixed(1).padStart(7)} s`;
  process.stdout.write(`${words}   (load ${loadavg()[0].toFixed(1)} at the end)\n`);
  return wall_s;
}

try {
  const one_s = built_s('--no-cache', '--again', '--jobs', '1');
  const two_s = built_s('--no-cache', '--again', '--jobs', '2');
  built_s('--no-cache', '--jobs', '1');
  process.stdout.write(
    `${copies} seasons: two at a time are ${(one_s / two_s).toFixed(2)} times as fast as one\n`,
  );
} finally {
  rmSync(home, { recursive: true });
}
