import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { chosenHome, documentsFolder } from '../../../electron/host/home-folder.ts';
import { renameFolder } from '../../../electron/host/new-folder.ts';
import { readPreferences, settingsFolder, writePreferences } from '../../../electron/host/preferences.ts';
import { freedesktopBin, systemBin } from '../../../electron/host/recycle-bin.ts';
import { SPAN_FILE } from '../../../electron/host/season-card.ts';
import { restoreSeason } from '../../../electron/host/season-restore.ts';
import { copySeason, createSeason, listSeasons } from '../../../electron/host/seasons-home.ts';
import { MINIMAL_SHEET, seasonOf } from '../../core/season-file-fixture.ts';

let home: string;

beforeEach(() => {
  home = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-home-')));
});

afterEach(() => rmSync(home, { recursive: true, force: true }));

function put(path: string, content: string): void {
  mkdirSync(join(home, path, '..'), { recursive: true });
  writeFileSync(join(home, path), content);
}

const list = () => listSeasons(home, () => false);

describe('the list of seasons', () => {
  it('tells each by name, fields, crops, machines and dates', async () => {
    put('kestrel/season.json', MINIMAL_SHEET);
    put(
      `kestrel/${SPAN_FILE}`,
      '{"first_utc": "2026-09-21T14:05:00.000Z", "last_utc": "2026-10-03T20:00:00.000Z"}',
    );
    put('no-season/notes.txt', '');
    put('left.123456789.0a1b2c3d.part/season.json', MINIMAL_SHEET);
    expect(await list()).toEqual([
      {
        season: expect.stringMatching(/^[0-9a-f]{16}$/),
        folder: join(home, 'kestrel'),
        name: 'Kestrel Flats 2026',
        fields: [{ name: 'Home', crop: 'corn' }],
        crops: ['corn'],
        machines: ['combine 1'],
        log_files: 1,
        first_utc: '2026-09-21T14:05:00.000Z',
        last_utc: '2026-10-03T20:00:00.000Z',
        modified_utc: expect.stringMatching(/Z$/),
        is_open: false,
        problem: null,
      },
    ]);
  });

  it('does not trust the dates kept from the last build blindly', async () => {
    put('kestrel/season.json', MINIMAL_SHEET);
    put(`kestrel/${SPAN_FILE}`, '{"first_utc": "<b>yesterday</b>"}');
    expect((await list())[0]).toMatchObject({ first_utc: null, last_utc: null, problem: null });
  });

  it('shows a broken season with its sentence, and whether it can be restored', async () => {
    put('broken/season.json', '{"format": "sheaflight-season/1", }');
    put('lost/season.json.previous', MINIMAL_SHEET);
    const [broken, lost] = await list();
    expect(broken).toMatchObject({
      name: 'broken',
      problem: {
        code: 'json_syntax',
        text: 'season.json, line 1, column 35: there is a comma before the closing bracket; remove it.',
        can_restore: false,
      },
    });
    expect(lost).toMatchObject({ name: 'lost', problem: { code: 'no_season_sheet', can_restore: true } });
  });

  it('is empty where the folder is not there', async () => {
    expect(await listSeasons(join(home, 'gone'), () => false)).toEqual([]);
  });
});

describe('a new season', () => {
  it('has its folders and a minimal sheet, under a name of its own', async () => {
    for (const folder of ['kestrel-flats-2026', 'kestrel-flats-2026-2']) {
      const made = await createSeason(home, { name: 'Kestrel Flats 2026', units: 'us' });
      expect(made.ok && made.value).toBe(join(home, folder));
    }
    expect(readdirSync(join(home, 'kestrel-flats-2026')).sort()).toEqual([
      'boundaries',
      'logs',
      'season.json',
      'tickets',
    ]);
    expect(readFileSync(join(home, 'kestrel-flats-2026/season.json'), 'utf8')).toBe(
      `{
  "format": "sheaflight-season/1",
  "name": "Kestrel Flats 2026",
  "units": "us",
  "machines": [],
  "fields": [],
  "logs": []
}
`,
    );
  });

  it('is not made of what is not sound', async () => {
    const made = await createSeason(home, {
      name: 'Odd',
      units: 'metric',
      fields: [{ name: 'Home', crop: 'corm' }],
    });
    expect(made.ok === false && made.error.text).toMatch(
      /^The season was not made: fields\[0\]\.crop cannot be used\./,
    );
    expect(readdirSync(home)).toEqual([]);
  });

  it('says why where it cannot be made', async () => {
    put('taken', 'a file');
    const made = await createSeason(join(home, 'taken'), { name: 'Odd', units: 'us' });
    expect(made.ok === false && made.error.text).toMatch(/^Could not make the season odd in .*taken: /);
  });
});

describe('a copy', () => {
  it('has sheet and inputs, a new name, and nothing that is made from them or leads outside', async () => {
    put('a/season.json', MINIMAL_SHEET.replace('"units"', '"memo": 1, "units"'));
    put('a/logs/deep/combine.log', '1,1\n');
    put('a/logs/half.log.999999999.0a1b2c3d.part', '1');
    put('a/cache/x', 'derived');
    put('a/out/x', 'derived');
    put('outside/secret.txt', 'secret');
    symlinkSync(join(home, 'outside/secret.txt'), join(home, 'a/logs/link.log'));
    symlinkSync(join(home, 'outside'), join(home, 'a/tickets'));
    const copy = await copySeason(join(home, 'a'), home, 'Second try');
    expect(copy.ok && copy.value).toBe(join(home, 'second-try'));
    expect(readdirSync(join(home, 'second-try'), { recursive: true }).sort()).toEqual([
      'boundaries',
      'logs',
      'logs/deep',
      'logs/deep/combine.log',
      'season.json',
      'tickets',
    ]);
    const sheet = readFileSync(join(home, 'second-try/season.json'), 'utf8');
    expect(JSON.parse(sheet)).toEqual({ ...JSON.parse(MINIMAL_SHEET), memo: 1, name: 'Second try' });
  });
});

describe('a folder’s name', () => {
  it('can be changed, but not to one that is taken or leads away', async () => {
    put('a/season.json', MINIMAL_SHEET);
    put('b/season.json', MINIMAL_SHEET);
    const taken = await renameFolder(join(home, 'a'), 'b');
    expect(taken.ok === false && taken.error.text).toBe('There is a folder b already; choose another name.');
    expect((await renameFolder(join(home, 'a'), '..')).ok).toBe(false);
    const away = await renameFolder(join(home, 'a'), '../../c');
    expect(away.ok && away.value).toBe(join(home, 'c'));
  });
});

describe('a broken season', () => {
  it('comes back from the sheet before the last change, and the broken one is kept', async () => {
    put('a/season.json', '{"half');
    put('a/season.json.previous', MINIMAL_SHEET);
    const restored = await restoreSeason(join(home, 'a'));
    expect(restored.ok && restored.notices.map(({ code }) => code)).toEqual(['restored']);
    expect(seasonOf(readFileSync(join(home, 'a/season.json'), 'utf8')).name).toBe('Kestrel Flats 2026');
    expect(readFileSync(join(home, 'a/season.json.broken'), 'utf8')).toBe('{"half');
    const again = await restoreSeason(join(home, 'a'));
    expect(again.ok === false && again.error.code).toBe('not_broken');
  });

  it('is left alone without a sound one', async () => {
    put('a/season.json', '{"half');
    put('a/season.json.previous', '{');
    const restored = await restoreSeason(join(home, 'a'));
    expect(restored.ok === false && restored.error.code).toBe('no_previous');
    expect(readFileSync(join(home, 'a/season.json'), 'utf8')).toBe('{"half');
  });
});

describe('where the library is', () => {
  it('is said by option, environment, preference, or else the documents', async () => {
    const environment = { HOME: home };
    expect(await chosenHome(environment)).toEqual({
      folder: join(home, 'Documents/Sheaflight'),
      chosen_by: 'default',
    });
    put('.config/sheaflight/preferences.json', '{"theme": "dark"}');
    expect((await writePreferences(environment, { seasons_home: join(home, 'saved') })).ok).toBe(true);
    expect(await readPreferences(environment)).toEqual({ theme: 'dark', seasons_home: join(home, 'saved') });
    expect(await chosenHome(environment)).toEqual({ folder: join(home, 'saved'), chosen_by: 'preference' });
    const named = { ...environment, SHEAFLIGHT_HOME: join(home, 'named') };
    expect(await chosenHome(named)).toEqual({ folder: join(home, 'named'), chosen_by: 'environment' });
    expect(await chosenHome(named, join(home, 'given'))).toEqual({
      folder: join(home, 'given'),
      chosen_by: 'option',
    });
  });

  it('does without preferences that are broken', async () => {
    put('.config/sheaflight/preferences.json', '{"seasons_home": 7');
    expect((await chosenHome({ HOME: home })).chosen_by).toBe('default');
  });

  it('follows what the desktop calls its documents', () => {
    put('.config/user-dirs.dirs', 'XDG_DESKTOP_DIR="$HOME/Arbeit"\nXDG_DOCUMENTS_DIR="$HOME/Dokumente"\n');
    expect(documentsFolder({ HOME: home }, 'linux')).toBe(join(home, 'Dokumente'));
    put('.config/user-dirs.dirs', 'XDG_DOCUMENTS_DIR="$HOME/"\n');
    expect(documentsFolder({ HOME: home }, 'linux')).toBe(join(home, 'Documents'));
    expect(documentsFolder({ HOME: home }, 'darwin')).toBe(join(home, 'Documents'));
  });

  it('keeps settings where the platform does', () => {
    expect(settingsFolder({ HOME: '/h' }, 'linux')).toBe('/h/.config/sheaflight');
    expect(settingsFolder({ HOME: '/h', XDG_CONFIG_HOME: '/c' }, 'linux')).toBe('/c/sheaflight');
    expect(settingsFolder({ HOME: '/h' }, 'darwin')).toBe('/h/Library/Application Support/Sheaflight');
    expect(settingsFolder({ APPDATA: '/a' }, 'win32')).toBe('/a/Sheaflight');
  });
});

describe('the bin', () => {
  it('takes a folder as the desktop would, and tells where it came from', async () => {
    const environment = { HOME: home, XDG_DATA_HOME: join(home, 'data') };
    const now = new Date(2026, 9, 3, 14, 5, 7);
    for (const name of ['Höhe 1', 'Höhe 1.2']) {
      put('Höhe 1/season.json', MINIMAL_SHEET);
      expect((await freedesktopBin(join(home, 'Höhe 1'), environment, now)).ok).toBe(true);
      expect(readFileSync(join(home, 'data/Trash/files', name, 'season.json'), 'utf8')).toBe(MINIMAL_SHEET);
      expect(readFileSync(join(home, 'data/Trash/info', `${name}.trashinfo`), 'utf8')).toBe(
        `[Trash Info]\nPath=${home}/H%C3%B6he%201\nDeletionDate=2026-10-03T14:05:07\n`,
      );
    }
    expect(readdirSync(home)).toEqual(['data']);
  });

  it('of the Finder takes it too', async () => {
    mkdirSync(join(home, '.Trash/a'), { recursive: true });
    put('a/season.json', MINIMAL_SHEET);
    expect((await systemBin({ HOME: home }, 'darwin')(join(home, 'a'))).ok).toBe(true);
    expect(readdirSync(join(home, '.Trash')).sort()).toEqual(['a', 'a 2']);
  });

  it('that is not there leaves everything where it is, and says so', async () => {
    put('a/season.json', MINIMAL_SHEET);
    const gone = await systemBin({ HOME: home }, 'darwin')(join(home, 'a'));
    expect(gone.ok === false && gone.error.text).toBe(
      `a could not be put into the bin: the system answered ENOENT. It stays where it is; remove the folder ${home}/a yourself if you are sure.`,
    );
    expect(readdirSync(join(home, 'a'))).toEqual(['season.json']);
  });
});
