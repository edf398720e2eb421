/** `sheaflight import` as a new user meets it: help, slips, an empty folder, a mapping of one's own. */
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ImportReport } from '../../../core/host-contract.ts';
import { SeasonStore } from '../../../electron/host/season-store.ts';
import { tableText } from '../../core/import/made-flow-log.ts';
import { fixed, iso, lat, lon, moist, rows, STYLES } from '../../core/import/table-styles.ts';
import { command, imported, Scratch } from './import-fixture.ts';
import { dbfBytes, type MadeShape, shpBytes, WGS84_PRJ } from './made-shapefile.ts';

const TABLE = STYLES['small letters with underscores, SI'].text;
const OTHER = STYLES['joined words, month first, half days, moisture as a fraction'].text;
/** Two columns of numbers that could be anything. */
const BLUE = tableText(rows, [
  ['time', iso],
  ['lon', lon],
  ['lat', lat],
  ['blue', fixed(3, (row) => row.flow_kg_s)],
  ['wide', fixed(3, (row) => row.swath_m)],
  ['red', moist],
]);

let scratch: Scratch;
let stick: string;

beforeAll(() => {
  scratch = new Scratch();
  stick = scratch.write('stick', [['yields.csv', TABLE]]);
});

afterAll(() => scratch.remove());

describe('the command line', () => {
  it('explains itself', async () => {
    const { code, out, err } = await command('import', '--help');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    for (const option of ['--machine', '--field', '--crop', '--mapping', '--dry-run', '--json'])
      expect(out).toContain(option);
  });

  it.each([
    ['a mistyped option', ['--dry-rum'], 'Did you mean --dry-run?'],
    ['a path that is not there', ['/nowhere/stick'], '/nowhere/stick is not there; is the stick connected?'],
    ['a crop that is none', ['--crop', 'whaet'], 'wheat'],
    ['a mapping that is neither file nor id', ['--mapping', 'mine'], 'there is no column mapping "mine"'],
  ])('refuses %s in one line, and makes no season', async (_, args, words) => {
    const paths = args[0].startsWith('/') ? [] : [stick];
    const { code, out, err } = await command('import', scratch.path('none'), ...paths, ...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(words);
    expect(err.trim().split('\n')).toHaveLength(1);
    expect(existsSync(scratch.path('none'))).toBe(false);
  });

  it('says what it would do, and does nothing', async () => {
    const { code, out } = await command('import', scratch.path('none'), stick, '--dry-run');
    expect(code).toBe(0);
    expect(out).toContain('1 file looked into: 1 would be taken in.');
    expect(existsSync(scratch.path('none'))).toBe(false);
  });

  it('ends with 1 when nothing of what it was given is of use, and makes no season of it', async () => {
    const rubbish = scratch.write('rubbish', [['letter.txt', 'Dear Sir,\nthe log is lost.\n']]);
    const { code, out } = await command('import', scratch.path('none'), rubbish);
    expect(code).toBe(1);
    expect(out).toContain('Cannot be used:');
    expect(existsSync(scratch.path('none'))).toBe(false);
  });

  it('leaves a season alone that is open elsewhere', async () => {
    await imported(scratch.path('locked'), stick);
    const open = await SeasonStore.open(scratch.path('locked'));
    if (!open.ok) throw new Error(open.error.text);
    const more = scratch.write('more', [['b.csv', OTHER]]);
    // the same process may open it twice only by mistake
    const { code, err } = await command('import', scratch.path('locked'), more);
    await open.value.close();
    expect([code, err]).toEqual([2, expect.stringContaining('open')]);
  });
});

describe('a season that is not there yet', () => {
  it('is made, builds at once, and says what was guessed', async () => {
    const report = await imported(scratch.path('kestrel-flats'), stick);
    expect(report.questions.map(({ code }) => code)).toEqual([
      'header_width',
      'antenna',
      'field_name',
      'crop',
    ]);
    expect(scratch.sheet('kestrel-flats')).toMatchObject({
      name: 'Kestrel Flats',
      units: 'us',
      machines: [{ id: 'c1', header: { width_m: 9.144 }, unconfirmed: ['header.width_m', 'antenna'] }],
      logs: [{ machine: 'c1', files: ['logs/yields.csv'], mapping: 'yields' }],
    });
    expect(readFileSync(scratch.path('kestrel-flats/logs/yields.csv'), 'utf8')).toBe(TABLE);
    const { code, out } = await command('build', scratch.path('kestrel-flats'), '--json');
    expect(code).toBe(0);
    const summary = JSON.parse(out);
    expect(summary.fields[0].points.kept).toBeGreaterThan(500);
    const guesses = summary.warnings.filter(
      (warning: { code: string }) => warning.code === 'unconfirmed_guess',
    );
    expect(guesses).toHaveLength(5);
  });

  it('has one thing to measure when its logs are of beam edges', async () => {
    // invented: a second of edges and a sentence (its checksum: exclusive or of its bytes)
    const beam = '1000,1\n50000,0\n100000,1\n150000,0\n';
    const log = scratch.write('beam', [['LOG1.TXT', beam]]);
    const report = await imported(scratch.path('beam-season'), log);
    expect(report.questions[0]).toMatchObject({ code: 'paddle', weight: 'needed', assumed: null });
    const { code, err } = await command('build', scratch.path('beam-season'));
    expect(code).toBe(2);
    expect(err).toContain('paddle');
  });
});

describe('mappings', () => {
  it('of a table that waits: the report is the form, filled in and given back', async () => {
    const season = scratch.path('blue');
    const blue = scratch.write('blues', [['blue.csv', BLUE]]);
    const first = await command('import', season, blue, '--json', '--dry-run');
    const report: ImportReport = JSON.parse(first.out);
    expect(first.code).toBe(1);
    const [file] = report.files;
    expect(file.outcome).toBe('needs_mapping');
    expect(file.mapping?.rows[0]).toHaveLength(6);
    const guess = file.mapping?.mapping;
    const columns = [
      ...(guess?.columns ?? []).filter(({ quantity }) => quantity !== 'mass_flow'),
      { quantity: 'mass_flow', column: 'blue', unit: 'kg/s' },
      { quantity: 'swath', column: 'wide', unit: 'm' },
    ];
    const given = scratch.write('forms', [
      ['blue columns.json', JSON.stringify({ ...guess, id: 'blue columns', columns })],
    ]);
    const taken = await imported(season, blue, '--mapping', `${given}/blue columns.json`);
    expect(taken.files[0]).toMatchObject({ outcome: 'imported', path: 'logs/blue.csv' });
    const sheet = scratch.sheet('blue');
    expect(sheet.logs[0]).toMatchObject({ files: ['logs/blue.csv'], mapping: 'blue columns' });
    expect(sheet.mappings?.[0]).toMatchObject({ id: 'blue columns', columns });
    // the next such table needs nothing
    const next = scratch.write('next', [['blue2.csv', BLUE.replaceAll('2026-10-05', '2026-10-07')]]);
    const again = await imported(season, next);
    expect(again.files[0]).toMatchObject({ outcome: 'imported', mapping: { remembered: true } });
    expect(scratch.sheet('blue').mappings).toHaveLength(1);
  });

  it.each([
    ['no JSON', '{"id": ', 'line 1'],
    ['another JSON', '{"milk": 2}', 'is no column mapping'],
    [
      'an unknown quantity',
      '{"id": "x", "columns": [{"quantity": "colour", "column": "a"}]}',
      'is no column mapping',
    ],
  ])('that are %s are refused', async (_, text, words) => {
    const form = scratch.write('wrong', [['form.json', text]]);
    const { code, err } = await command(
      'import',
      scratch.path('none'),
      stick,
      '--mapping',
      `${form}/form.json`,
    );
    expect(code).toBe(2);
    expect(err).toContain(words);
  });
});

describe('folders', () => {
  it('are walked; hidden files, seasons in them and links are passed over', async () => {
    const folder = scratch.write('deep', [
      ['a/b/c/yields.csv', TABLE],
      ['.hidden/yields.csv', OTHER],
      ['a/._yields.csv', 'x'],
      ['another/season.json', '{}'],
      ['another/logs/x.csv', OTHER],
    ]);
    symlinkSync(scratch.path('stick'), scratch.path('deep/link'));
    const report = await imported(scratch.path('deep-season'), folder);
    expect(report.files.map(({ source_name }) => source_name)).toEqual(['deep/a/b/c/yields.csv']);
    expect(report.notices.filter(({ code }) => code === 'passed_over').map(({ source }) => source)).toEqual([
      'deep/another',
      'deep/link',
    ]);
  });

  it('of the same name on two sticks do not get mixed up', async () => {
    const [one, two] = [
      scratch.write('a/logs', [['LOG.csv', TABLE]]),
      scratch.write('b/logs', [['LOG.csv', OTHER.replaceAll('10/5/2026', '10/8/2026')]]),
    ];
    const report = await imported(scratch.path('two-sticks'), one, two);
    expect(report.files.map(({ source_name, path }) => [source_name, path])).toEqual([
      ['logs/LOG.csv', 'logs/LOG.csv'],
      ['logs/LOG.csv (2)', 'logs/LOG-2.csv'],
    ]);
  });

  it('bring a Shapefile with all of its parts', async () => {
    const shape: MadeShape = {
      rings: [
        [
          [-96.41, 41.69],
          [-96.41, 41.71],
          [-96.39, 41.71],
          [-96.39, 41.69],
          [-96.41, 41.69],
        ],
      ],
      attributes: { FIELD: 'Owl Bottom', CROP: 'wheat' },
    };
    const folder = scratch.write('maps', [
      ['fields.shp', shpBytes([shape])],
      ['FIELDS.DBF', dbfBytes([shape])],
      ['fields.prj', WGS84_PRJ],
      ['fields.shx', new Uint8Array(100)],
    ]);
    const report = await imported(scratch.path('shapes'), folder, stick);
    expect(report.files).toHaveLength(2);
    expect(scratch.sheet('shapes').fields).toEqual([
      { name: 'Owl Bottom', crop: 'wheat', boundary: 'boundaries/owl-bottom.geojson' },
    ]);
    expect(readdirSync(scratch.path('shapes/boundaries')).sort()).toEqual([
      'FIELDS.DBF',
      'fields.prj',
      'fields.shp',
      'fields.shx',
      'owl-bottom.geojson',
    ]);
    const again = await imported(scratch.path('shapes'), folder);
    expect(again.files[0].outcome).toBe('already_there');
  });

  it('without a file say so', async () => {
    mkdirSync(scratch.path('empty'));
    const { code, err } = await command('import', scratch.path('none'), scratch.path('empty'));
    expect([code, err]).toEqual([2, expect.stringContaining('no file to import')]);
  });
});

describe('machines', () => {
  it('are named by the user, and a slip makes no new one', async () => {
    const season = scratch.path('machines');
    await imported(season, stick, '--machine', 'big one');
    expect(scratch.sheet('machines').machines.map(({ id }) => id)).toEqual(['big one']);
    const more = scratch.write('more', [['b.csv', OTHER.replaceAll('10/5/2026', '10/8/2026')]]);
    const { code, err } = await command('import', season, more, '--machine', 'bg one');
    expect([code, err]).toEqual([2, expect.stringContaining('did you mean "big one"?')]);
  });
});

describe('what files say', () => {
  it('never becomes a command of the terminal', async () => {
    const folder = scratch.write('evil', [
      ['\u001b[31mred\u202e.csv', TABLE.replace('time_utc', '\u001b]0;x\u0007time')],
    ]);
    const { out } = await command('import', scratch.path('evil-season'), folder);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    expect(out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f\u202e]/);
    const sheet = JSON.stringify(scratch.sheet('evil-season'));
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    expect(sheet).not.toMatch(/\\u00(0|1)|[\u0000-\u001f\u202e]/);
  });
});
