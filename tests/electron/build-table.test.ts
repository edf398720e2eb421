import { describe, expect, it } from 'vitest';
import { rowsText, tableText } from '../../electron/command/build-table.ts';
import type { SeasonOutcome } from '../../electron/host/build-all/build-all.ts';

/** 10 ha and 90 t, 30 ha and 210 t: together 40 ha, 300 t, 7.50 t/ha; 150 of 400 points kept. */
const CORN = [
  { field: 'Home', area_ha: 10, mass_std_kg: 90_000, mean_yield_t_ha: 9, points: 100, points_kept: 90 },
  { field: 'Creek', area_ha: 30, mass_std_kg: 210_000, mean_yield_t_ha: 7, points: 300, points_kept: 60 },
].map((field) => ({ ...field, crop: 'corn', bushel_kg: 25.401, standard_moisture_pct: 15.5 }));

const BEANS = {
  field: 'Hill',
  crop: 'soybean',
  bushel_kg: 27.216,
  area_ha: 0,
  mass_std_kg: 0,
  standard_moisture_pct: 13,
  mean_yield_t_ha: null,
  points: 0,
  points_kept: 0,
};

const OUTCOMES: readonly SeasonOutcome[] = [
  {
    name: 'alder',
    folder: '/h/alder',
    out: '/h/alder/out',
    state: 'built',
    figures: {
      season: 'Alder Rise',
      units: 'metric',
      fields: [...CORN, BEANS],
      calibrations: [
        { machine: 'c1', crop: 'corn', loads_used: 5, loo_rmse_pct: 0.61 },
        { machine: 'c2', crop: 'corn', loads_used: 4, loo_rmse_pct: 1.26 },
        { machine: 'c1', crop: 'soybean', loads_used: 1, loo_rmse_pct: null },
      ],
      warnings: 3,
    },
    remarks: [],
    seconds: 12.345_678,
  },
  {
    name: 'birch\u001b[2J',
    folder: '/h/birch',
    out: '/h/birch/out',
    state: 'failed',
    why: 'there is\nno log.',
    remarks: [],
    seconds: 0.04,
  },
];

const cells = (line: string) => line.split(/ {2,}/);

describe('the table over many seasons', () => {
  it('has a row for each season and crop, whose yield is all mass over all area', () => {
    const lines = tableText(OUTCOMES, undefined, 13).split('\n');
    expect(cells(lines[0])).toEqual([
      ...['season', 'crop', 'fields', 'area', 'mass, std moisture', 'mean yield', 'kept'],
      ...['calib. error', 'warnings', 'seconds', 'state'],
    ]);
    expect(cells(lines[1])).toEqual([
      ...['alder', 'corn', '2', '40.00 ha', '300.00 t', '7.50 t/ha', '37.5 %', '1.3 %', '3', '12.3', 'built'],
    ]);
    expect(cells(lines[2])).toEqual(['', 'soybean', '1', '0.00 ha', '0.00 t', '–', '–', '–']);
    expect(cells(lines[3])).toEqual([
      ...['birch\ufffd[2J', ...'–––––––', '–', '0.0', 'failed: there is no log.'],
    ]);
    expect(lines[5]).toBe('2 seasons: 1 built, 1 failed; 13.0 s');
  });

  it('has other units where they are asked for', () => {
    // 40 ha = 98.84 ac (1 ac = 4046.873 m² [NIST SP 811]), 300 t / 25.401 kg = 11,811 bu
    expect(cells(tableText(OUTCOMES, 'us', 1).split('\n')[1]).slice(3, 6)).toEqual([
      ...['98.84 ac', '11,811 bu', '119.5 bu/ac'],
    ]);
  });

  it('is a line of JSON for each season where machines read it', () => {
    const [alder, birch] = rowsText(OUTCOMES)
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(alder).toMatchObject({
      name: 'alder',
      season: 'Alder Rise',
      state: 'built',
      why: null,
      seconds: 12.346,
      warnings: 3,
      calibrations: OUTCOMES[0].figures?.calibrations,
    });
    expect(alder.fields.map((field: object) => Object.values(field))).toEqual([
      ['Home', 10, 90_000, 9, 'corn', 15.5, 100, 90],
      ['Creek', 30, 210_000, 7, 'corn', 15.5, 300, 20],
      ['Hill', 'soybean', 0, 0, 13, null, 0, null],
    ]);
    expect(birch).toEqual({
      ...{ name: 'birch\u001b[2J', season: null, folder: '/h/birch', out: '/h/birch/out', state: 'failed' },
      ...{ why: 'there is\nno log.', seconds: 0.04, warnings: null, fields: [], calibrations: [] },
    });
  });
});
