/** Only what is downstream of a change is made again, and what comes out is what a run from nothing gives, bit by bit. */
import { describe, expect, it } from 'vitest';
import { Memo } from '../../core/memo.ts';
import { runPipeline } from '../../core/pipeline.ts';
import type { SeasonResult } from '../../core/result.ts';
import type { Season, SettingsSheet } from '../../core/season.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { plain, simulate } from '../synthetic/index.ts';
import { filesOf, type SeasonFiles, sourcesFrom } from '../synthetic/recovery.ts';

const files = filesOf(simulate(plain(3)));
const sheet = (() => {
  const decoded = decodeSeason(files.texts.get('season.json') ?? '');
  if (!decoded.ok) throw new Error(decoded.error.text);
  return decoded.value;
})();
const sources = sourcesFrom(files, sheet);
const TICKETS = sheet.tickets?.[0] ?? '';

/** A run with a memo, and the names of the steps that ran (without the part they ran for). */
function run(memo: Memo | undefined, season: Season, from = sources) {
  const steps = new Set<string>();
  const result = runPipeline(season, from, {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'test',
    onStep: (step) => steps.add(step.split(':')[0]),
    ...(memo && { memo }),
  });
  if (!result.ok) throw new Error(result.error.text);
  return { result: result.value, steps: [...steps] };
}

/** Steps that run after a change of a season that was run before; the result is compared with a cold run's. */
function stepsAfter(season: Season, changed = files): string[] {
  const memo = new Memo();
  run(memo, sheet);
  const from = changed === files ? sources : { ...sources, texts: changed.texts };
  const warm = run(memo, season, from);
  expect(bytesOf(warm.result)).toEqual(bytesOf(run(undefined, season, from).result));
  return warm.steps;
}

/** Every number of a result, in one text. */
function bytesOf(result: SeasonResult): string {
  return JSON.stringify(result, (_, part) =>
    ArrayBuffer.isView(part)
      ? Buffer.from(part.buffer, part.byteOffset, part.byteLength).toString('base64')
      : part,
  );
}

const withSettings = (settings: SettingsSheet): Season => ({
  ...sheet,
  settings: { ...sheet.settings, ...settings },
});
const withMachine = (change: object): Season => ({
  ...sheet,
  machines: sheet.machines.map((machine) => ({ ...machine, ...change })),
});

const FROM_CREDIT = ['credit', 'loads', 'points', 'screening'];
const FROM_GROUND = ['ground', 'places', 'outlines', 'lag evidence', 'lags', ...FROM_CREDIT];

describe('a second run', () => {
  it('of the same season makes nothing again, even from a sheet that was read anew', () => {
    const memo = new Memo();
    const first = run(memo, sheet);
    const again = run(memo, structuredClone(sheet));
    expect(again.steps).toEqual([]);
    expect(again.result.points[0].yield_kg_m2).toBe(first.result.points[0].yield_kg_m2);
    expect(bytesOf(again.result)).toEqual(bytesOf(first.result));
  });

  it('with other numbers of a screening rule screens again, and no more', () => {
    expect(stepsAfter(withSettings({ screening: { slow: { speed_min_m_s: 1.5 } } }))).toEqual(['screening']);
  });

  it('with another lag credits again', () => {
    expect(stepsAfter(withSettings({ lags: [{ transport_s: 9 }] }))).toEqual(['lags', ...FROM_CREDIT]);
  });

  it('with other tickets fits the loads again', () => {
    const tickets = (files.texts.get(TICKETS) ?? '').trimEnd().split('\n').slice(0, -1).join('\n');
    const changed: SeasonFiles = { ...files, texts: new Map([...files.texts, [TICKETS, tickets]]) };
    expect(stepsAfter(sheet, changed)).toEqual(['tickets', 'this season', 'loads', 'points', 'screening']);
  });

  it('with a load set aside fits the loads again', () => {
    const calibration = { loads: [{ ticket: '1', use: false }] };
    expect(stepsAfter(withSettings({ calibration }))).toEqual(['loads', 'points', 'screening']);
  });

  it('with another antenna looks at the ground again, but not at the beam', () => {
    const antenna = { ahead_of_cut_m: -2, right_of_centre_m: 0 };
    expect(stepsAfter(withMachine({ antenna }))).toEqual(FROM_GROUND);
  });

  it('with another empty level weighs the grain again, but lays no log on the clock', () => {
    const steps = stepsAfter(withSettings({ signal: { empty_level: 0.06 } }));
    expect(steps).toEqual(['grain', 'lag evidence', 'health', 'lags', ...FROM_CREDIT, 'signals']);
  });

  it('with another name makes nothing again', () => {
    expect(stepsAfter({ ...sheet, name: 'Another name' })).toEqual([]);
  });
});
