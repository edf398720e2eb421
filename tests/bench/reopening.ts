/**
 * `node dist/tests/bench/reopening.js`: how long a person waits for a season of ≥ 200,000 and of a million points, through the
 * host and its worker threads: first build, opening again from the cache, one number of a screening rule changed. `… 1` does the
 * shorter season alone.
 */
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import {
  type Bodies,
  type JobReply,
  pathTo,
  type Replies,
  type ResultReply,
  ROUTES,
  type RouteName,
  type SeasonReply,
} from '../../core/host-contract.ts';
import { createHost, type Host } from '../../electron/host/host.ts';
import { longSeason } from './season-copies.ts';

/** Lines of the logs: about one in 22 makes a point. */
const TICKS = [4_600_000, 22_600_000];

const scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-bench-')));
process.env.HOME = scratch;

async function ask<K extends RouteName & keyof Replies>(
  host: Host,
  route: K,
  steps: Readonly<Record<string, string>> = {},
  body?: K extends keyof Bodies ? Bodies[K] : undefined,
): Promise<Replies[K]> {
  const init: RequestInit = { method: ROUTES[route].method };
  if (body !== undefined)
    Object.assign(init, { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
  const response = await host.handler(new Request(`http://127.0.0.1:1${pathTo(route, steps)}`, init));
  const reply = await response.json();
  if (response.status !== 200) throw new Error(JSON.stringify(reply));
  return reply as Replies[K];
}

async function built(host: Host, season: string): Promise<ResultReply> {
  const { job } = await ask(host, 'build', { season });
  const ended = (await host.services.jobs.ended(job)) as JobReply;
  if (ended.state !== 'done') throw new Error(JSON.stringify(ended));
  return ask(host, 'readResult', { season });
}

/** Wall time, and the processor time of all threads: on a machine that is busy with other things the latter says more. */
async function timed<Made>(what: string, work: () => Promise<Made>): Promise<Made> {
  const start = performance.now();
  const before = process.cpuUsage();
  const made = await work();
  const { user, system } = process.cpuUsage(before);
  const [wall_ms, processor_ms] = [performance.now() - start, (user + system) / 1000];
  const cell = (ms: number) => ms.toFixed(0).padStart(7);
  process.stdout.write(`  ${what.padEnd(64)}${cell(wall_ms)} ms${cell(processor_ms)} ms of processor\n`);
  return made;
}

function written(folder: string, ticks: number): void {
  const { season, files } = longSeason(ticks);
  const put = (path: string, content: string | Uint8Array) => {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), content);
  };
  for (const [path, bytes] of files.logs) put(path, bytes);
  for (const [path, text] of files.texts) put(path, text);
  put('season.json', JSON.stringify(season));
}

async function opened(folder: string): Promise<{ host: Host; season: SeasonReply }> {
  const host = createHost({ home: join(scratch, 'home') });
  const season = await ask(host, 'openSeason', {}, { folder });
  await ask(host, 'checkFiles', { season: season.season });
  return { host, season };
}

/** Until all threads rest: what they do unasked, such as writing the cache, they begin two seconds after a task. */
async function atRest(): Promise<void> {
  let used_us = Number.POSITIVE_INFINITY;
  while (used_us > 100_000) {
    const before = process.cpuUsage();
    await new Promise((resolve) => setTimeout(resolve, 4000));
    const { user, system } = process.cpuUsage(before);
    used_us = user + system;
  }
}

async function opening(
  what: string,
  folder: string,
): Promise<{ host: Host; season: SeasonReply; points: number }> {
  return timed(what, async () => {
    const { host, season } = await opened(folder);
    const result = await built(host, season.season);
    return { host, season, points: result.points.reduce((sum, { rows }) => sum + rows, 0) };
  });
}

async function changes(host: Host, { season, revision: first }: SeasonReply, when: string): Promise<void> {
  let revision = first;
  for (const speed of [0.6, 0.7, 0.8, 0.9, 1.0]) {
    await timed(`one number of a rule changed, saved and screened ${when}`, async () => {
      const edit = { kind: 'set_rule' as const, rule: 'slow' as const, change: { speed_min_m_s: speed } };
      ({ revision } = await ask(host, 'editSeason', { season }, { revision, edit }));
      await built(host, season);
    });
  }
}

async function measured(folder: string): Promise<void> {
  const first = await opening('opened and built for the first time', folder);
  process.stdout.write(`  ${first.points.toLocaleString('en')} points\n`);
  await changes(first.host, first.season, 'after a build');
  await atRest();
  await first.host.close();
  for (let k = 0; k < 3; k++) await (await opening('opened again, result ready', folder)).host.close();
  const again = await opening('opened again, result ready', folder);
  await atRest();
  await changes(again.host, again.season, 'after opening again');
  const memory_MiB = process.memoryUsage().rss / 2 ** 20;
  process.stdout.write(`  memory of all threads ${memory_MiB.toFixed(0)} MiB\n`);
  await again.host.close();
}

try {
  for (const ticks of TICKS.slice(0, Number(process.argv[2] ?? 2))) {
    const folder = join(scratch, `season-${ticks}`);
    written(folder, ticks);
    process.stdout.write(`${ticks.toLocaleString('en')} lines\n`);
    await measured(folder);
    rmSync(folder, { recursive: true });
  }
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
