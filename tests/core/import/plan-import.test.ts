/** Plans of small imports: what goes where, what it changes in the sheet, what is asked. */
import { describe, expect, it } from 'vitest';
import { applyEdit } from '../../../core/edits.ts';
import type { ImportCandidate, ImportPlan, SeasonFile } from '../../../core/import/import-plan.ts';
import { inspectFile } from '../../../core/import/inspect-file.ts';
import { planImport } from '../../../core/import/plan-import.ts';
import type { ColumnMappingSheet, MachineSheet, Season } from '../../../core/season.ts';
import { decodeSeason, encodeSeason } from '../../../core/season-file.ts';
import { bytesOf } from '../read/log-text.ts';
import { madeRows, tableText } from './made-flow-log.ts';
import { fixed, iso, lat, lon, moist, rows, STYLES } from './table-styles.ts';

const decode = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
const MACHINE: MachineSheet = { id: 'c1', name: 'combine 1', header: { width_m: 9.144 } };
const EMPTY: Season = {
  format: 'sheaflight-season/1',
  name: 'Test',
  machines: [MACHINE],
  fields: [],
  logs: [],
};

/** Stands for a hash: the same text, the same sign. */
const signOf = (text: string) => `${text.length}:${text.slice(0, 200)}:${text.slice(-200)}`;

function candidate(id: string, text: string, mappings: readonly ColumnMappingSheet[] = []): ImportCandidate {
  const inspection = inspectFile(id, bytesOf(text), { decode, mappings });
  return { id, sha256: signOf(text), bytes: text.length, inspection };
}

const listed = (path: string, text: string): SeasonFile => ({ ...candidate(path, text), path });

function plan(
  season: Season,
  candidates: readonly ImportCandidate[],
  files: readonly SeasonFile[] = [],
  choices = {},
): ImportPlan {
  const result = planImport(season, files, candidates, choices);
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

/** As the host would name it. */
const plainName = (id: string) => (id.split('/').at(-1) ?? id).replaceAll(/[^\w .-]/g, '-');

/** The season after the plan's edits, candidates lying in `logs/` under their own names, as its sheet would be read again. */
function carriedOut(season: Season, made: ImportPlan): Season {
  const into = new Map<string, string>(made.boundaries.map(({ id, name }) => [id, `boundaries/${name}`]));
  for (const { candidate: one, plan: of } of made.files) {
    if (of.outcome === 'take') into.set(one.id, `${of.into}/${plainName(one.id)}`);
  }
  const edits = made.edits((id) => into.get(id));
  if (edits.length === 0) return season;
  const changed = applyEdit(season, { kind: 'several', name: 'Import', edits });
  if (!changed.ok) throw new Error(changed.error.text);
  const decoded = decodeSeason(encodeSeason(changed.value.season));
  if (!decoded.ok) throw new Error(decoded.error.text);
  return decoded.value;
}

const boundary = (name: string | undefined, west = -96.41, crop?: string) =>
  JSON.stringify({
    type: 'Feature',
    properties: { ...(name === undefined ? {} : { name }), ...(crop === undefined ? {} : { crop }) },
    geometry: {
      type: 'Polygon',
      coordinates: [
        [
          [west, 41.695],
          [west + 0.02, 41.695],
          [west + 0.02, 41.71],
          [west, 41.71],
          [west, 41.695],
        ],
      ],
    },
  });

const TABLE = STYLES['no units at all'].text;

describe('a table of a kind that is new', () => {
  const made = plan(EMPTY, [candidate('stick/yields a.csv', TABLE)]);
  const season = carriedOut(EMPTY, made);

  it('is listed with its mapping, which remembers the header', () => {
    const [mapping] = season.mappings ?? [];
    expect(mapping).toMatchObject({
      id: 'yields a',
      header: 'record|x|y|timestamp|flow|distance|swath|moisture|yield',
    });
    expect(season.logs).toEqual([{ machine: 'c1', files: ['logs/yields a.csv'], mapping: 'yields a' }]);
    expect(season.units).toBe('us');
  });

  it('found its field by its tracks', () => {
    expect(season.fields).toEqual([
      {
        name: 'Field 1 (2026-10-05)',
        crop: 'corn',
        boundary: 'boundaries/field-1-2026-10-05.geojson',
        unconfirmed: ['name', 'crop', 'boundary'],
      },
    ]);
    expect(made.questions.map(({ code, weight }) => [code, weight])).toEqual([
      ['field_name', 'confirm'],
      ['crop', 'confirm'],
    ]);
  });

  it('the next one with that header uses the same mapping, whatever its numbers would let guess', () => {
    const next = tableText(madeRows({ start_utc: '2026-10-06T16:00:00Z' }), [
      ['Record', (_, i) => i],
      ['X', lon],
      ['Y', lat],
      ['Timestamp', (row) => row.utc_s * 1000],
      ['Flow', fixed(2, (row) => row.flow_kg_s)],
      ['Distance', fixed(2, (row) => row.distance_m)],
      ['Swath', fixed(1, (row) => row.swath_m)],
      ['Moisture', moist],
      ['Yield', () => 0],
    ]);
    const again = candidate('yields b.csv', next, season.mappings);
    expect(again.inspection.content).toMatchObject({ chosen_by: 'memory', mapping: { id: 'yields a' } });
    const after = carriedOut(season, plan(season, [again], [listed('logs/yields a.csv', TABLE)]));
    expect(after.mappings).toHaveLength(1);
    expect(after.logs).toEqual([
      { machine: 'c1', files: ['logs/yields a.csv', 'logs/yields b.csv'], mapping: 'yields a' },
    ]);
  });

  it('two of a kind in one import share a mapping', () => {
    const late = STYLES['no units at all'].rows.map((row) => ({ ...row, utc_s: row.utc_s + 86_400 }));
    const text = tableText(late, [
      ['time', iso],
      ['lon', lon],
      ['lat', lat],
      ['flow (kg/s)', fixed(3, (row) => row.flow_kg_s)],
    ]);
    const both = [candidate('b.csv', text), candidate('a.csv', text.replaceAll('2026-10-06', '2026-10-09'))];
    const after = carriedOut(EMPTY, plan(EMPTY, both));
    expect(after.mappings).toHaveLength(1);
    // in the order of time, not of names
    expect(after.logs[0].files).toEqual(['logs/b.csv', 'logs/a.csv']);
  });
});

describe('boundaries', () => {
  const log = candidate('yields.csv', TABLE);

  it('make fields, with the crop that they name, before tracks do', () => {
    const made = plan(EMPTY, [log, candidate('home.geojson', boundary('Home', -96.41, 'Soybeans'))]);
    const season = carriedOut(EMPTY, made);
    expect(season.fields).toEqual([{ name: 'Home', crop: 'soybean', boundary: 'boundaries/home.geojson' }]);
    expect(made.files[0].fields).toEqual(['Home']);
    expect(made.questions).toEqual([]);
  });

  it('without a name are called as their file is', () => {
    const season = carriedOut(
      EMPTY,
      plan(EMPTY, [candidate('maps/north_forty.geojson', boundary(undefined))]),
    );
    expect(season.fields[0]).toMatchObject({ name: 'North Forty', unconfirmed: ['crop'] });
  });

  it('of several fields in one file are written out one by one', () => {
    const collection = JSON.stringify({
      type: 'FeatureCollection',
      features: [JSON.parse(boundary('Home')), JSON.parse(boundary('Away', -96.2))],
    });
    const made = plan(EMPTY, [candidate('farm.geojson', collection)]);
    expect(made.boundaries.map(({ name, field }) => [name, field])).toEqual([
      ['home.geojson', 'Home'],
      ['away.geojson', 'Away'],
    ]);
    const season = carriedOut(EMPTY, made);
    expect(season.fields.map((field) => field.boundary)).toEqual([
      'boundaries/home.geojson',
      'boundaries/away.geojson',
    ]);
  });

  it('take the place of an outline that was drawn around tracks, and give the field its name', () => {
    const first = plan(EMPTY, [log]);
    const season = carriedOut(EMPTY, first);
    const files = [
      listed('logs/yields.csv', TABLE),
      listed('boundaries/field-1-2026-10-05.geojson', first.boundaries[0].text),
    ];
    const after = carriedOut(season, plan(season, [candidate('home.geojson', boundary('Home'))], files));
    expect(after.fields).toEqual([
      { name: 'Home', crop: 'corn', boundary: 'boundaries/home.geojson', unconfirmed: ['crop'] },
    ]);
  });

  it('never take the place of a surveyed one', () => {
    const season = carriedOut(EMPTY, plan(EMPTY, [candidate('home.geojson', boundary('Home'))]));
    const files = [listed('boundaries/home.geojson', boundary('Home'))];
    const made = plan(season, [candidate('new.geojson', boundary('home', -96.42))], files);
    expect(carriedOut(season, made).fields).toEqual(season.fields);
    expect(made.notices.map(({ code }) => code)).toEqual(['boundary_kept']);
  });
});

describe('what is there already', () => {
  it('the same bytes, in the season or twice on the stick', () => {
    const files = [listed('logs/yields.csv', TABLE)];
    const season: Season = { ...EMPTY, logs: [{ machine: 'c1', files: ['logs/yields.csv'] }] };
    const other = candidate('c.csv', STYLES['small letters with underscores, SI'].text);
    const made = plan(season, [candidate('copy.csv', TABLE), other, { ...other, id: 'd.csv' }], files);
    const outcomes = made.files.map(({ plan: of }) => (of.outcome === 'known' ? of.same_as : of.outcome));
    expect(outcomes[0]).toBe('logs/yields.csv');
    expect(outcomes[2]).toBe('c.csv');
  });

  it('an earlier copy in the season gives way to the whole log', () => {
    const part = `${TABLE.split('\n').slice(0, 700).join('\n')}\n`;
    const season: Season = { ...EMPTY, logs: [{ machine: 'c1', files: ['logs/noon.csv'] }] };
    const made = plan(season, [candidate('night.csv', TABLE)], [listed('logs/noon.csv', part)]);
    expect(made.notices.map(({ code }) => code)).toContain('log_replaced');
    expect(carriedOut(season, made).logs).toEqual([
      { machine: 'c1', files: ['logs/night.csv'], mapping: 'night' },
    ]);
  });
});

describe('what is asked', () => {
  // invented: a second of beam edges between two fixes
  const sentence = '$GPRMC,163000.00,A,4142.0,N,09624.0,W,4,0.0,051026,,,A*';
  const beam = `1000,1\n50000,0\n60000,${sentence}00\n100000,1\n150000,0\n`;

  it('paddles of a machine that has beam logs and no measures, before all else', () => {
    const season: Season = { ...EMPTY, machines: [] };
    const made = plan(season, [candidate('LOG1.TXT', beam)]);
    expect(made.questions.map(({ code, about, weight }) => [code, about, weight])).toEqual([
      ['paddle', 'c1', 'needed'],
      ['header_width', 'c1', 'confirm'],
      ['antenna', 'c1', 'confirm'],
    ]);
    const after = carriedOut(season, made);
    expect(after.machines).toEqual([
      { id: 'c1', name: 'combine 1', header: { width_m: 9.144 }, unconfirmed: ['header.width_m', 'antenna'] },
    ]);
    const decoded = decodeSeason(encodeSeason(after));
    expect(decoded.notices.map(({ code }) => code)).toEqual(['unconfirmed_guess', 'unconfirmed_guess']);
  });

  it('what a table means that could not be told; it is not taken in', () => {
    const text = tableText(rows, [
      ['time', iso],
      ['lon', lon],
      ['lat', lat],
      ['blue', fixed(2, (row) => row.flow_kg_s)],
    ]);
    const made = plan(EMPTY, [candidate('blue.csv', text)]);
    expect(made.files[0].plan.outcome).toBe('needs_mapping');
    expect(made.questions.map(({ code, weight }) => [code, weight])).toEqual([['mapping', 'needed']]);
    expect(carriedOut(EMPTY, made)).toBe(EMPTY);
  });

  it('a crop that is said must be one', () => {
    const result = planImport(EMPTY, [], [candidate('a.csv', TABLE)], { crop: 'cron' });
    expect(!result.ok && result.error.code).toBe('unknown_crop');
    const said = carriedOut(
      EMPTY,
      plan(EMPTY, [candidate('a.csv', TABLE)], [], { crop: 'wheat', field: 'Home' }),
    );
    expect(said.fields[0]).toMatchObject({ name: 'Home', crop: 'wheat', unconfirmed: ['boundary'] });
  });

  it('names that no sheet can hold do not reach it', () => {
    const evil = '<img src=x onerror=alert(1)>\u202e=cmd|calc';
    const text = tableText(rows, [
      ['time', iso],
      ['lon', lon],
      ['lat', lat],
      ['flow (kg/s)', fixed(2, (row) => row.flow_kg_s)],
      ['field', () => evil],
    ]);
    const after = carriedOut(
      EMPTY,
      plan(EMPTY, [candidate(`${evil}.csv`, text), candidate('b.geojson', boundary(evil))]),
    );
    expect(JSON.stringify(after)).not.toContain('\u202e');
    expect(after.fields).toHaveLength(1);
  });
});
