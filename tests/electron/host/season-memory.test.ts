import {
  appendFileSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Season } from '../../../core/season.ts';
import { type RunOptions, runOpenSeason, type SeasonRun } from '../../../electron/host/run-season.ts';
import { openSeasonFolder } from '../../../electron/host/season-folder.ts';
import { SeasonMemories, type SeasonMemory } from '../../../electron/host/season-memory.ts';
import { withSharedColumns } from '../../../electron/host/shared-columns.ts';
import { flowLog, smallSeason } from './small-season.ts';

let folder: string;
let memory: SeasonMemory;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-memory-'));
  smallSeason(folder);
  memory = new SeasonMemories().of(folder);
});

afterEach(() => rmSync(folder, { recursive: true }));

const log = () => join(folder, 'logs', 'flow.csv');

/** As if the log had lain there for a minute, so that its times can be trusted. */
function aged(): void {
  const then_s = Date.now() / 1000 - 60;
  utimesSync(log(), then_s, then_s);
}

async function ran(settings: Season['settings'], options: RunOptions = { memory }) {
  const open = await openSeasonFolder(folder);
  if (!open.ok) throw new Error(open.error.text);
  const steps: string[] = [];
  const season = { ...open.value.season, settings };
  const onStep = (step: string) => steps.push(step);
  const run = await runOpenSeason({ folder, season }, [], () => undefined, { ...options, onStep });
  if (!run.ok) throw new Error(run.error.text);
  return { steps, run: run.value };
}

const SLOW = (speed_min_m_s: number): Season['settings'] => ({ screening: { slow: { speed_min_m_s } } });
const plain = ({ result, notices }: SeasonRun) => JSON.stringify({ result, notices });

describe('what a thread keeps of a season', () => {
  it('lets a changed number of a rule screen again, and nothing else', async () => {
    const first = await ran(SLOW(0.5));
    expect(first.steps).toContain('records');
    const second = await ran(SLOW(2.5));
    expect(second.steps).toEqual(['screening: Home']);
    expect(plain(second.run)).not.toBe(plain(first.run));
    expect(plain(second.run)).toBe(plain((await ran(SLOW(2.5), {})).run));
  });

  it('has the result before the last change still', async () => {
    const first = await ran(SLOW(0.5));
    await ran(SLOW(2.5));
    const undone = await ran(SLOW(0.5));
    expect(undone.steps).toEqual([]);
    expect(plain(undone.run)).toBe(plain(first.run));
  });

  it('stays when changes are only tried, and knows the last one tried', async () => {
    await ran(SLOW(0.5));
    for (const speed of [1, 1.5, 2]) {
      const { steps } = await ran(SLOW(speed), { memory, purpose: 'trial' });
      expect(steps).toEqual(['screening: Home']);
    }
    expect((await ran(SLOW(0.5))).steps).toEqual([]);
    expect((await ran(SLOW(2))).steps).toEqual([]);
  });

  it('has other content read anew, be it of the same size and time', async () => {
    const { run: before } = await ran({});
    writeFileSync(log(), flowLog().replaceAll(',14.', ',15.'));
    const after = await ran({});
    expect(after.steps).toContain('records');
    expect(after.run.result.summary.fields[0].mass_wet_kg).toBeGreaterThan(
      before.result.summary.fields[0].mass_wet_kg,
    );
    const { mtime, size } = statSync(log());
    writeFileSync(log(), flowLog());
    utimesSync(log(), mtime, mtime);
    expect(statSync(log()).size).toBe(size);
    expect(plain((await ran({})).run)).toBe(plain(before));
  });

  it('goes by the content where the times are young', async () => {
    await ran({});
    writeFileSync(log(), readFileSync(log()));
    expect((await ran({})).steps).toEqual([]);
    aged();
    await ran({});
    expect((await ran({})).steps).toEqual([]);
    appendFileSync(log(), '-93.6,42.1,1791036000,14\n');
    expect((await ran({})).steps).toContain('records');
  });

  it('is of the last two seasons', () => {
    const memories = new SeasonMemories();
    const [a, b] = [memories.of('a'), memories.of('b')];
    expect(memories.of('a')).toBe(a);
    memories.of('c');
    expect(memories.of('a')).toBe(a);
    expect(memories.of('b')).not.toBe(b);
  });
});

describe('columns in shared memory', () => {
  it('hold the same numbers, and are copied once', async () => {
    const { run } = await ran({});
    const shared = withSharedColumns(run.result);
    expect(shared.points[0].yield_kg_m2).toEqual(run.result.points[0].yield_kg_m2);
    expect(shared.points[0].yield_kg_m2.buffer).toBeInstanceOf(SharedArrayBuffer);
    const { run: next } = await ran(SLOW(2.5));
    const again = withSharedColumns(next.result);
    expect(again.points[0].yield_kg_m2).toBe(shared.points[0].yield_kg_m2);
    expect(again.points[0].screened_by).not.toBe(shared.points[0].screened_by);
  });
});
