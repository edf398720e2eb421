import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyEdit, type SeasonEdit, seasonEditSchema } from '../../core/edits.ts';
import { SCREENING_RULES } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason, encodeSeason } from '../../core/season-file.ts';
import { MINIMAL_SHEET, seasonOf } from './season-file-fixture.ts';

const MINIMAL = seasonOf(MINIMAL_SHEET);
const SHA = 'ab'.repeat(32);

function edited(season: Season, ...edits: SeasonEdit[]): Season {
  return edits.reduce((reached, edit) => change(reached, edit).season, season);
}

function change(season: Season, edit: SeasonEdit) {
  const made = applyEdit(season, seasonEditSchema.parse(edit));
  if (!made.ok) throw new Error(made.error.text);
  return made.value;
}

function nameOf(edit: SeasonEdit, season = MINIMAL): string {
  return change(season, edit).name;
}

function refusal(edit: SeasonEdit, season = MINIMAL): string {
  const made = applyEdit(season, edit);
  if (made.ok) throw new Error('made, although it should have been refused');
  return made.error.text;
}

describe('the grower', () => {
  it('is named on reports, and taken off again without leaving an empty name', () => {
    const named = change(MINIMAL, { kind: 'set_grower', grower: 'Anna Novak' });
    expect(named).toMatchObject({ name: 'Grower named Anna Novak', season: { grower: 'Anna Novak' } });
    const without = change(named.season, { kind: 'set_grower', grower: null });
    expect(without.name).toBe('Grower taken off the reports');
    expect(without.season).toEqual(MINIMAL);
    expect(seasonEditSchema.safeParse({ kind: 'set_grower', grower: '' }).success).toBe(false);
  });
});

describe('names in the history', () => {
  it('say what was done to what, with units', () => {
    expect(nameOf({ kind: 'set_lag', field: 'Home', change: { transport_s: 12 } })).toBe(
      'Lag set to 12.0 s in Home',
    );
    expect(nameOf({ kind: 'set_lag', machine: 'c1', change: { mixing_s: 3.25 } })).toBe(
      'Mixing of combine 1 set to 3.3 s',
    );
    expect(nameOf({ kind: 'change_machine', id: 'c1', change: { header: { width_m: 9 } } })).toBe(
      'Header width set to 9 m in combine 1',
    );
    expect(nameOf({ kind: 'change_field', name: 'Home', change: { standard_moisture_pct: null } })).toBe(
      'Standard moisture taken away in Home',
    );
    expect(nameOf({ kind: 'set_rule', rule: 'speed_jump', change: { on: false } })).toBe(
      'Rule "speed jump" switched off',
    );
    expect(nameOf({ kind: 'set_load', ticket: '7', use: false })).toBe('Ticket 7 set aside');
    const span = { start_utc: '2026-10-03T12:05:00Z', end_utc: '2026-10-03T12:40:00Z' };
    expect(nameOf({ kind: 'set_load_span', tickets: ['7', '8'], span })).toBe(
      'Load 7 + 8 from 12:05:00 to 12:40:00 UTC',
    );
    expect(
      refusal({ kind: 'set_load_span', tickets: ['7'], span: { ...span, end_utc: span.start_utc } }),
    ).toMatch(/would end .* before it starts/);
    const moved = change(MINIMAL, { kind: 'set_load_span', tickets: ['7'], span }).season;
    expect(moved.settings?.calibration?.spans).toEqual([{ ticket: '7', ...span }]);
    const back = change(moved, { kind: 'set_load_span', tickets: ['7'], span: null });
    expect(back).toMatchObject({ name: 'Load 7 at the times of its ticket again' });
    expect(back.season).toEqual(MINIMAL);
    expect(nameOf({ kind: 'set_model', model: null })).toBe('Calibration curve: chosen from the loads');
    expect(nameOf({ kind: 'set_unsmear', change: { on: true } })).toBe('Unsmearing switched on');
    expect(nameOf({ kind: 'set_unsmear', change: { on: null } })).toBe('Unsmearing switched off');
    expect(nameOf({ kind: 'set_unsmear', change: { iterations: 5 } })).toBe('Unsmearing in 5 rounds');
    expect(nameOf({ kind: 'set_point_interval', interval_s: 2 })).toBe('Points every 2 s');
    expect(nameOf({ kind: 'add_logs', machine: 'c1', files: ['logs/b.log', 'logs/c.log'] })).toBe(
      '2 log files of combine 1 added',
    );
  });
});

describe('edits of settings', () => {
  it('reach every screening rule that the program knows, and no other', () => {
    const edit = (rule: string) => ({ kind: 'set_rule', rule, change: { on: false } });
    for (const rule of SCREENING_RULES) expect(seasonEditSchema.safeParse(edit(rule)).success).toBe(true);
    expect(seasonEditSchema.safeParse(edit('rainy')).success).toBe(false);
  });

  it('set one number and leave the others', () => {
    const season = edited(
      MINIMAL,
      { kind: 'set_lag', field: 'Home', change: { transport_s: 12, mixing_s: 2 } },
      { kind: 'set_lag', change: { transport_s: 10 } },
      { kind: 'set_lag', field: 'Home', change: { transport_s: 11 } },
    );
    expect(season.settings?.lags).toEqual([
      { field: 'Home', transport_s: 11, mixing_s: 2 },
      { transport_s: 10 },
    ]);
  });

  it('leave nothing behind when they are all taken back', () => {
    const season = edited(
      MINIMAL,
      { kind: 'set_lag', field: 'Home', change: { transport_s: 12 } },
      { kind: 'set_rule', rule: 'slow', change: { on: false } },
      { kind: 'set_load', ticket: '7', use: true },
      { kind: 'set_model', model: 'gain' },
      { kind: 'set_signal', change: { empty_level: 0.05 } },
      { kind: 'set_cut_width', change: { whole_rows: true } },
      { kind: 'set_point_interval', interval_s: 3 },
      { kind: 'set_surface', change: { cell_m: 10, model: { nugget: 0.1, partial_sill: 1, range_m: 50 } } },
      { kind: 'set_lag', field: 'Home', change: { transport_s: null } },
      { kind: 'set_rule', rule: 'slow', change: { on: null } },
      { kind: 'set_load', ticket: '7', use: null },
      { kind: 'set_model', model: null },
      { kind: 'set_signal', change: { empty_level: null } },
      { kind: 'set_cut_width', change: { whole_rows: null } },
      { kind: 'set_point_interval', interval_s: null },
      { kind: 'set_surface', change: { cell_m: null } },
      { kind: 'set_surface', change: null },
    );
    expect(season).toEqual(MINIMAL);
  });

  it('reset all rules at once', () => {
    const season = edited(
      MINIMAL,
      { kind: 'set_rule', rule: 'slow', change: { on: false } },
      { kind: 'set_rule', rule: 'ramp', change: { on: false } },
      { kind: 'reset_rules' },
    );
    expect(season.settings).toBeUndefined();
  });
});

describe('edits of machines, fields and crops', () => {
  it('carry a new name into everything that names it', () => {
    const season = edited(
      MINIMAL,
      { kind: 'assign_logs', files: ['logs/combine.log'], change: { field: 'Home' } },
      { kind: 'set_lag', field: 'Home', machine: 'c1', change: { transport_s: 12 } },
      { kind: 'change_field', name: 'Home', change: { name: 'Home farm' } },
      { kind: 'change_machine', id: 'c1', change: { id: 'big' } },
    );
    expect(season.logs).toEqual([{ machine: 'big', files: ['logs/combine.log'], field: 'Home farm' }]);
    expect(season.settings?.lags).toEqual([{ field: 'Home farm', machine: 'big', transport_s: 12 }]);
  });

  it('do not take away what something else needs', () => {
    expect(refusal({ kind: 'remove_machine', id: 'c1' })).toBe(
      'combine 1 has 1 log file; give them to another machine or take them off the list first.',
    );
    const given = edited(MINIMAL, {
      kind: 'assign_logs',
      files: ['logs/combine.log'],
      change: { field: 'Home' },
    });
    expect(refusal({ kind: 'remove_field', name: 'Home' }, given)).toBe(
      'Home has 1 log file of its own; give them to another field or to none first.',
    );
    const mapped = edited(
      MINIMAL,
      { kind: 'set_mapping', mapping: { id: 'm', columns: [{ quantity: 'longitude', column: 'lon' }] } },
      { kind: 'assign_logs', files: ['logs/combine.log'], change: { mapping: 'm' } },
    );
    expect(refusal({ kind: 'remove_mapping', id: 'm' }, mapped)).toContain('names the mapping "m"');
  });

  it('take the lags of a field with it', () => {
    const season = edited(
      MINIMAL,
      { kind: 'set_lag', field: 'Home', change: { transport_s: 12 } },
      { kind: 'remove_field', name: 'Home' },
    );
    expect(season.fields).toEqual([]);
    expect(season.settings).toBeUndefined();
  });

  it("keep the season's own crops by name", () => {
    const lentils = { name: 'lentils', bushel_lb: 60, standard_moisture_pct: 13, bulk_density_kg_m3: 770 };
    const two = edited(
      MINIMAL,
      { kind: 'set_crop', crop: lentils },
      { kind: 'set_crop', crop: { ...lentils, bushel_lb: 61 } },
    );
    expect(two.crops).toEqual([{ ...lentils, bushel_lb: 61 }]);
    expect(edited(two, { kind: 'remove_crop', name: 'lentils' })).toEqual(MINIMAL);
  });
});

describe('edits of files', () => {
  it('put log files together with those of which the same is said', () => {
    const season = edited(
      MINIMAL,
      { kind: 'add_logs', machine: 'c1', files: ['logs/b.log'] },
      { kind: 'add_logs', machine: 'c1', files: ['logs/c.log'], field: 'Home' },
      { kind: 'assign_logs', files: ['logs/b.log'], change: { field: 'Home' } },
    );
    expect(season.logs).toEqual([
      { machine: 'c1', files: ['logs/combine.log'] },
      { machine: 'c1', files: ['logs/c.log', 'logs/b.log'], field: 'Home' },
    ]);
    expect(edited(season, { kind: 'remove_logs', files: ['logs/combine.log'] }).logs).toHaveLength(1);
  });

  it('record what was copied in, once a path', () => {
    const record = {
      path: 'logs/combine.log',
      sha256: SHA,
      bytes: 5,
      imported_utc: '2026-10-03T14:05:07Z',
      source_name: 'COMBINE.LOG',
    };
    const season = edited(
      MINIMAL,
      { kind: 'record_files', files: [record] },
      { kind: 'record_files', files: [{ ...record, bytes: 6 }] },
    );
    expect(season.files).toEqual([{ ...record, bytes: 6 }]);
    expect(edited(season, { kind: 'forget_files', files: ['logs/combine.log'] }).files).toEqual([]);
  });

  it('list a log once', () => {
    expect(refusal({ kind: 'add_logs', machine: 'c1', files: ['logs/combine.log'] })).toBe(
      'Not changed: logs[0].files[1] lists "logs/combine.log" again (first in logs[0].files[0]); list each file once, or its grain counts twice.',
    );
  });

  it('do not list a file outside the folder', () => {
    expect(refusal({ kind: 'add_tickets', files: ['../secret.csv'] })).toContain(
      'expected a path that stays inside the season folder',
    );
    expect(refusal({ kind: 'add_logs', machine: 'c1', files: ['/etc/passwd'] })).toContain(
      'expected a path relative to the season folder',
    );
  });
});

describe('what is refused', () => {
  it('says why, in the words of the season sheet, without a line that is not on the disk', () => {
    expect(refusal({ kind: 'change_machine', id: 'c1', change: { header: { width_m: 30 } } })).toBe(
      'Not changed: machines[0].header.width_m is 30, expected 0.3 to 20 m; it looks like feet (30 ft = 9.144 m).',
    );
    expect(refusal({ kind: 'add_field', field: { name: 'Home', crop: 'corn' } })).toContain(
      'repeats the field name "Home"',
    );
    expect(refusal({ kind: 'change_field', name: 'Hom', change: { crop: 'wheat' } })).toBe(
      'The season has no field "Hom"; did you mean "Home"?',
    );
  });

  it('is a key that nobody knows, unless it was there before', () => {
    const slip = { hedaer: { width_m: 9 } } as object;
    expect(refusal({ kind: 'change_machine', id: 'c1', change: slip })).toBe(
      'Not changed: machines[0].hedaer is not a key that this program knows. Did you mean "header"?',
    );
    const foreign = seasonOf(MINIMAL_SHEET.replace('"rows": 12', '"rows": 12, "colour": "red"'));
    const kept = edited(foreign, { kind: 'change_machine', id: 'c1', change: { header: { width_m: 9 } } });
    expect(kept.machines[0].header).toEqual({ width_m: 9, rows: 12, colour: 'red' });
  });

  it('is the whole of several when one of them is', () => {
    const both: SeasonEdit = {
      kind: 'several',
      name: 'Two at once',
      edits: [
        { kind: 'rename_season', name: 'Other' },
        { kind: 'remove_field', name: 'Nowhere' },
      ],
    };
    expect(refusal(both)).toContain('no field "Nowhere"');
  });
});

describe('laws of edits', () => {
  const name = fc.constantFrom('Home', 'North', 'West');
  const file = fc.constantFrom('logs/combine.log', 'logs/b.log', 'logs/c.log', 'tickets/x.csv');
  const number = fc.option(fc.double({ min: -5, max: 40, noNaN: true }));
  const edit: fc.Arbitrary<SeasonEdit> = fc.oneof(
    fc.record({ kind: fc.constant('rename_season' as const), name: fc.string({ minLength: 1 }) }),
    fc.record({
      kind: fc.constant('add_field' as const),
      field: fc.record({ name, crop: fc.constantFrom('corn', 'wheat', 'nonsense') }),
    }),
    fc.record({ kind: fc.constant('change_field' as const), name, change: fc.record({ name }) }),
    fc.record({ kind: fc.constant('remove_field' as const), name }),
    fc.record({
      kind: fc.constant('add_logs' as const),
      machine: fc.constantFrom('c1', 'c9'),
      files: fc.array(file, { minLength: 1, maxLength: 2 }),
    }),
    fc.record({
      kind: fc.constant('assign_logs' as const),
      files: fc.array(file, { minLength: 1, maxLength: 2 }),
      change: fc.record({ field: fc.option(name) }),
    }),
    fc.record({ kind: fc.constant('remove_logs' as const), files: fc.array(file, { minLength: 1 }) }),
    fc.record({
      kind: fc.constant('set_lag' as const),
      field: name,
      change: fc.record({ transport_s: number, mixing_s: number }, { requiredKeys: [] }),
    }),
    fc.record({
      kind: fc.constant('set_load' as const),
      ticket: fc.constantFrom('1', '2'),
      use: fc.option(fc.boolean()),
    }),
    fc.record({ kind: fc.constant('set_point_interval' as const), interval_s: number }),
  );

  it('whatever is done, the season is sound, what is refused changes nothing, and unknown keys stay', () => {
    const foreign = seasonOf(MINIMAL_SHEET.replace('"units": "us"', '"units": "us", "memo": {"a": [1]}'));
    let made = 0;
    let turnedDown = 0;
    fc.assert(
      fc.property(fc.array(edit, { maxLength: 12 }), (edits) => {
        let season = foreign;
        for (const one of edits) {
          const before = encodeSeason(season);
          const next = applyEdit(season, one);
          expect(encodeSeason(season)).toBe(before);
          if (next.ok) {
            made++;
            season = next.value.season;
            expect(Object.isFrozen(season.fields)).toBe(true);
            expect(next.value.name).toMatch(/\S/);
          } else {
            turnedDown++;
            expect(next.error.text).toMatch(/[.?]$/);
          }
        }
        const judged = decodeSeason(encodeSeason(season));
        expect(judged.ok && judged.value).toEqual(season);
        expect((season as unknown as { memo: unknown }).memo).toEqual({ a: [1] });
      }),
      { numRuns: 300, seed: 11 },
    );
    expect(made).toBeGreaterThan(300);
    expect(turnedDown).toBeGreaterThan(300);
  });
});
