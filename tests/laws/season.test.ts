/** What must not change the totals of a season: the order and number of its files, its dates, its counter's zero, its units. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SeasonResult } from '../../core/result.ts';
import type { MachineSheet, Season } from '../../core/season.ts';
import { type SimulatedSeason, scene, simulate } from '../synthetic/index.ts';
import { runSeason } from '../synthetic/recovery.ts';

/** Two small fields, one after the other. */
const block = (east_m: number): readonly (readonly [number, number])[] => [
  [east_m - 60, -70],
  [east_m + 60, -70],
  [east_m + 60, 70],
  [east_m - 60, 70],
];
const small = simulate(
  scene('laws')
    .seed(11)
    .field({ name: 'North', corners: block(0), start_utc: '2026-10-06T14:20:00Z' })
    .field({ name: 'South', corners: block(0), lat0: 41.98, start_utc: '2026-10-07T15:00:00Z' })
    .machine({})
    .loads({ load_t: 6 }),
);
const decoder = new TextDecoder();
const textOf = (path: string) => decoder.decode(small.files.get(path));
const sheet: Season = JSON.parse(textOf('season.json'));
const paths = sheet.logs.flatMap(({ files }) => files);
const DAY_S = 86_400;

/** The season with other logs, tickets or sheet. */
function changed(change: {
  readonly logs?: ReadonlyMap<string, string>;
  readonly tickets?: string;
  readonly sheet?: Partial<Season>;
}): SimulatedSeason {
  const files = new Map(small.files);
  const put = (path: string, text: string) => files.set(path, new TextEncoder().encode(text));
  let { logs } = sheet;
  if (change.logs !== undefined) {
    for (const path of paths) files.delete(path);
    for (const [path, text] of change.logs) put(path, text);
    logs = [{ machine: sheet.machines[0].id, files: [...change.logs.keys()] }];
  }
  if (change.tickets !== undefined) put(sheet.tickets?.[0] ?? '', change.tickets);
  put('season.json', JSON.stringify({ ...sheet, logs, ...change.sheet }));
  return { ...small, files };
}

const whole = runSeason(small);
const logTexts = new Map(paths.map((path) => [path, textOf(path)]));

/** Every number of both results agrees to a share: areas, masses, moistures, lags and coefficients. */
function expectSameTotals(found: SeasonResult, share: number) {
  const numbers = ({ summary }: SeasonResult) => [
    ...summary.fields.flatMap((f) => [f.area_ha, f.mass_wet_kg, f.mass_std_kg, f.moisture_pct]),
    ...summary.mass_ledger.map(({ beam_kg }) => beam_kg),
  ];
  const expected = numbers(whole);
  expect(found.summary.fields.map(({ name }) => name)).toEqual(whole.summary.fields.map(({ name }) => name));
  numbers(found).forEach((x, i) => {
    expect(Math.abs((x ?? 0) / (expected[i] ?? 0) - 1)).toBeLessThan(share);
  });
}

describe('the totals of a season', () => {
  it('are there at all', () => {
    expect(paths).toHaveLength(2);
    expect(whole.summary.fields).toHaveLength(2);
    for (const { area_ha, mass_wet_kg } of whole.summary.fields) {
      expect(area_ha).toBeGreaterThan(1.5);
      expect(mass_wet_kg).toBeGreaterThan(10_000);
    }
  });

  it('do not depend on the order of the files', () => {
    const reversed = [...logTexts].reverse();
    expectSameTotals(runSeason(changed({ logs: new Map(reversed) })), 1e-12);
    const apart = paths.map((path) => ({ machine: sheet.machines[0].id, files: [path] })).reverse();
    expectSameTotals(runSeason(changed({ sheet: { logs: apart } })), 1e-12);
  });

  it('hardly depend on where a log is cut into files', () => {
    const lines = [...logTexts.values()].map((text) => text.trimEnd().split('\n'));
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (log, share) => {
          const cut = Math.round(share * lines[log].length);
          const parts = [lines[log].slice(0, cut), lines[log].slice(cut)].filter((part) => part.length > 0);
          const logs = new Map([
            [paths[1 - log], `${lines[1 - log].join('\n')}\n`] as const,
            ...parts.map((part, k) => [`logs/part-${k}.log`, `${part.join('\n')}\n`] as const),
          ]);
          expectSameTotals(runSeason(changed({ logs })), 1e-4);
        },
      ),
      { numRuns: 6 },
    );
  });

  it('do not depend on the zero of the counter', () => {
    const shifted = new Map(
      [...logTexts].map(([path, text], k) => [
        path,
        text.replaceAll(/^\d+/gm, (tick) => String(Number(tick) + 987_654_321 * (k + 1))),
      ]),
    );
    const found = runSeason(changed({ logs: shifted }));
    expectSameTotals(found, 1e-9);
    expect(found.points[0].t_s[100]).toBeCloseTo(whole.points[0].t_s[100], 6);
  });

  it('do not depend on the date; the times move with it', () => {
    const days = 45;
    const moved = new Map([...logTexts].map(([path, text]) => [path, laterSentences(text, days)]));
    const tickets = textOf(sheet.tickets?.[0] ?? '').replaceAll(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, (time) =>
      new Date(Date.parse(time) + days * DAY_S * 1000).toISOString(),
    );
    const found = runSeason(changed({ logs: moved, tickets }));
    expectSameTotals(found, 1e-9);
    expect(found.epoch_utc_s - whole.epoch_utc_s).toBe(days * DAY_S);
    expect(found.points.map(({ t_s }) => t_s)).toEqual(whole.points.map(({ t_s }) => t_s));
  });

  it('lose nothing to a receiver that shows a date of twenty years ago until it has heard the right one', () => {
    let heard = 0;
    const early = new Map(
      [...logTexts].map(([path, text]) => [
        path,
        text.replaceAll(/^.*RMC.*$/gm, (line) => (heard++ < 120 ? laterSentences(line, -1024 * 7) : line)),
      ]),
    );
    const found = runSeason(changed({ logs: early }));
    expectSameTotals(found, 1e-3);
    expect(found.summary.warnings.map(({ code }) => code)).toContain('rows_misdated');
  });

  it('do not depend on how the paddle was measured, as long as loads calibrate it', () => {
    const [machine] = sheet.machines;
    const wider = {
      ...machine,
      paddle: { ...machine.paddle, width_mm: 1.25 * (machine.paddle?.width_mm ?? 0) },
    };
    const found = runSeason(changed({ sheet: { machines: [wider as MachineSheet] } }));
    expectSameTotals(found, 1e-9);
    const gain = (result: SeasonResult) => result.summary.calibrations[0].coefficients.k;
    expect(gain(found)).toBeCloseTo(gain(whole) / 1.25, 9);
  });

  it('are the same numbers whatever units the sheet shows', () => {
    const units = sheet.units === 'us' ? 'metric' : 'us';
    expect(runSeason(changed({ sheet: { units } })).summary).toEqual({
      ...whole.summary,
      inputs: expect.anything(),
    });
  });
});

/** RMC sentences with a later date and a new checksum; nothing else in a log knows the date. */
function laterSentences(text: string, days: number): string {
  return text.replaceAll(/\$(..RMC,[^*\n]*)\*../g, (_, body: string) => {
    const cells = body.split(',');
    const [day, month, year] = [0, 2, 4].map((at) => Number(cells[9].slice(at, at + 2)));
    const later = new Date(Date.UTC(2000 + year, month - 1, day + days)).toISOString();
    cells[9] = later.slice(8, 10) + later.slice(5, 7) + later.slice(2, 4);
    const sentence = cells.join(',');
    let sum = 0;
    for (let i = 0; i < sentence.length; i++) sum ^= sentence.charCodeAt(i);
    return `$${sentence}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
  });
}
