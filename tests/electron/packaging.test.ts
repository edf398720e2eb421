import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sourceFiles, TOP } from '../structure/source-files.ts';

const CONFIG = JSON.parse(readFileSync(join(TOP, 'electron/packaging/builder.json'), 'utf8')) as {
  readonly files: readonly string[];
  readonly icon: string;
  readonly nsis: { readonly include: string };
};
const require = createRequire(import.meta.url);

interface Validator {
  validateConfiguration(config: unknown, log: unknown): Promise<void>;
}

describe('packages for three systems', () => {
  it('are configured as the packager understands it', async () => {
    const { validateConfiguration } = require('app-builder-lib/out/util/config/config.js') as Validator;
    const log = { isEnabled: false, add: () => undefined };
    await expect(validateConfiguration(CONFIG, log)).resolves.not.toThrow();
    await expect(validateConfiguration({ ...CONFIG, appld: 'slip' }, log)).rejects.toThrow(/appld/);
  });

  it('start with the shell, and hold what it names', () => {
    const { main } = JSON.parse(readFileSync(join(TOP, 'package.json'), 'utf8')) as { main: string };
    expect(main).toBe('dist/electron/main.js');
    for (const path of [CONFIG.icon, CONFIG.nsis.include]) expect(existsSync(join(TOP, path))).toBe(true);
    expect(CONFIG.files).toContain('dist/electron/**/*.js');
  });

  it('leave out only libraries that the bundle of the window already holds', () => {
    const left = CONFIG.files
      .filter((pattern) => pattern.startsWith('!**/node_modules/'))
      .flatMap((pattern) => /\{(.*)\}/.exec(pattern)?.[1].split(',') ?? []);
    const used = ['core', 'electron'].flatMap((folder) => librariesOf(folder));
    expect(left).toContain('maplibre-gl');
    expect(left.filter((library) => used.includes(library))).toEqual([]);
  });
});

/** Libraries that the files of a folder import at run time, by package or scope. */
function librariesOf(folder: string): string[] {
  return sourceFiles(folder).flatMap(({ imports }) =>
    imports
      .filter(({ path, isTypeOnly }) => path === undefined && !isTypeOnly)
      .map(({ from }) => from.split('/')[0]),
  );
}
