/** No path in a season sheet leads out of the season's folder, however it is written, linked or encoded. */
import { execFileSync } from 'node:child_process';
import {
  mkdirSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, sep } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeSeason } from '../../core/season-file.ts';
import { fileInside, openSeasonFolder } from '../../electron/host/season-folder.ts';
import { MINIMAL_SHEET } from '../core/season-file-fixture.ts';
import { Random } from '../synthetic/random.ts';
import { oneOf } from './byte-mutations.ts';
import { textFault } from './reading-checks.ts';

const SECRET = 'nobody may read this';
let scratch: string;
let folder: string;

beforeAll(() => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-escape-')));
  folder = join(scratch, 'season');
  mkdirSync(join(folder, 'logs', 'deep'), { recursive: true });
  mkdirSync(join(scratch, 'season-of-others'));
  writeFileSync(join(scratch, 'secret.log'), SECRET);
  writeFileSync(join(scratch, 'season-of-others', 'secret.log'), SECRET);
  writeFileSync(join(folder, 'season.json'), MINIMAL_SHEET);
  writeFileSync(join(folder, 'logs', 'a.log'), 'mine');
  writeFileSync(join(folder, 'logs', '%2e%2e'), 'mine');
  if (process.platform === 'win32') return;
  symlinkSync(join(scratch, 'secret.log'), join(folder, 'logs', 'link.log'));
  symlinkSync('../../secret.log', join(folder, 'logs', 'relative-link.log'));
  symlinkSync(scratch, join(folder, 'out-link'));
  symlinkSync('..', join(folder, 'up'));
  symlinkSync('link.log', join(folder, 'logs', 'chain.log'));
  symlinkSync('a.log', join(folder, 'logs', 'inner-link.log'));
  symlinkSync('round', join(folder, 'round'));
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const ESCAPES: readonly (readonly [string, string])[] = [
  ['a step up', '../secret.log'],
  ['a step up on the way', 'logs/../../secret.log'],
  ['a step up and back in', '../season/logs/a.log'],
  ['a folder whose name begins alike', '../season-of-others/secret.log'],
  ['a step up at the end', 'logs/..'],
  ['dots and blanks, which Windows drops', 'logs/.. /.. /secret.log'],
  ['dots and dots, which Windows drops', 'logs/.../secret.log'.replace('...', '.. .')],
  ['backslashes', '..\\secret.log'],
  ['a backslash among slashes', 'logs/..\\..\\secret.log'],
  ['a path from the root', '/etc/passwd'],
  ['two slashes', '//host/share/secret.log'],
  ['a drive', 'C:/secret.log'],
  ['a drive without a slash', 'c:secret.log'],
  ['a share', '\\\\host\\share\\secret.log'],
  ['a device', '\\\\.\\PhysicalDrive0'],
  ['a NUL', 'logs/a.log\u0000../../secret.log'],
  ['a line end', 'logs/a.log\n../secret.log'],
  ['a mark that turns the writing', 'logs/\u202egol.a'],
];

describe('paths in season.json', () => {
  it.each(ESCAPES)('refuses %s', (_, path) => {
    const sheet = JSON.parse(MINIMAL_SHEET);
    for (const change of [
      { logs: [{ machine: sheet.machines[0].id, files: [path] }] },
      { tickets: [path] },
      { fields: [{ ...sheet.fields[0], boundary: path }] },
    ]) {
      const decoded = decodeSeason(JSON.stringify({ ...sheet, ...change }));
      if (decoded.ok) throw new Error(`takes ${JSON.stringify(path)}`);
      expect(decoded.error.code).toBe('wrong_value');
      expect(textFault(decoded.error.text, '')).toBeUndefined();
    }
  });

  it.each(['%2e%2e/secret.log', '%2e%2e%2fsecret.log', '..%2fsecret.log', '%c0%ae%c0%ae/secret.log'])(
    'takes %s for the name that it is, not for a step up',
    async (path) => {
      const found = await fileInside(folder, path);
      expect(found.ok ? 'found' : found.error.code).toBe('no_such_file');
    },
  );
});

const onSystemsWithLinks = process.platform === 'win32' ? it.runIf(false) : it;

describe('links in the folder', () => {
  onSystemsWithLinks.each([
    'logs/link.log',
    'logs/relative-link.log',
    'logs/chain.log',
    'out-link/secret.log',
    'up/secret.log',
  ])('refuses %s, which leads out', async (path) => {
    const found = await fileInside(folder, path);
    expect(found.ok ? 'found' : found.error.code).toBe('outside_folder');
  });

  onSystemsWithLinks('follows one that stays inside', async () => {
    const found = await fileInside(folder, 'logs/inner-link.log');
    expect(found).toMatchObject({ ok: true, value: join(folder, 'logs', 'a.log') });
  });

  onSystemsWithLinks('does not run around in a ring of links', async () => {
    const found = await fileInside(folder, 'round/a.log');
    expect(found.ok ? 'found' : found.error.code).toBe('cannot_read');
  });

  onSystemsWithLinks('does not wait for a pipe', async () => {
    execFileSync('mkfifo', [join(folder, 'logs', 'pipe.log')]);
    const found = await fileInside(folder, 'logs/pipe.log');
    expect(found.ok ? 'found' : found.error.code).toBe('not_a_file');
  });

  onSystemsWithLinks('opens no season whose sheet is a link to elsewhere', async () => {
    const other = join(scratch, 'linked');
    mkdirSync(other);
    symlinkSync(join(folder, 'season.json'), join(other, 'season.json'));
    const opened = await openSeasonFolder(other);
    expect(opened.ok ? 'opened' : opened.error.code).toBe('outside_folder');
  });
});

const STEPS = [
  ...[
    'logs/a.log',
    'logs/a.log',
    'logs/inner-link.log',
    'logs/deep/..',
    'logs',
    'a.log',
    'deep',
    '.',
    '..',
    '../season',
  ],
  ...[
    '...',
    '',
    ' ',
    '.. ',
    ' ..',
    '....',
    'season',
    'season-of-others',
    'secret.log',
    'link.log',
    'chain.log',
  ],
  ...[
    'out-link',
    'up',
    'round',
    '%2e%2e',
    '%2E%2E',
    '..;',
    '..%00',
    '\u0000',
    'C:',
    '~',
    '*',
    '|x',
    'é',
    '．．',
  ],
];
const SIGNS = ['/', '/', '/', '//', '\\', '\\\\', '%2f', '%5c', '∕', ''];

describe('any path', () => {
  it('is refused, not there, or inside', async () => {
    const random = new Random(1, 'paths');
    let inside = 0;
    for (let i = 0; i < 2500; i++) {
      let path = random.integer(8) === 0 ? oneOf(SIGNS, random) : '';
      for (let step = random.integer(5); step >= 0; step--)
        path += oneOf(STEPS, random) + (step > 0 ? oneOf(SIGNS, random) : '');
      const found = await fileInside(folder, path);
      if (!found.ok) {
        expect(['outside_folder', 'no_such_file', 'is_a_folder', 'cannot_read', 'not_a_file']).toContain(
          found.error.code,
        );
        continue;
      }
      inside++;
      expect(found.value.startsWith(folder + sep)).toBe(true);
      expect(readFileSync(found.value, 'utf8')).not.toContain(SECRET);
    }
    expect(inside).toBeGreaterThan(20);
  });
});
