/**
 * Whether Electron's binary is there, found by looking at files only: asking for the module itself would fetch the binary
 * on the spot, for minutes and without a word.
 */
import { spawn } from 'node:child_process';
import { accessSync, constants, existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

type Environment = Readonly<Record<string, string | undefined>>;

/** Folder of the `electron` package; undefined when it is not installed. */
export function electronPackage(): string | undefined {
  try {
    return dirname(createRequire(import.meta.url).resolve('electron/package.json'));
  } catch {
    return undefined;
  }
}

/** Path of the binary, when it is there, can be run, and is of the package's version. */
export function electronBinary(folder: string, environment: Environment): string | undefined {
  const dist = environment.ELECTRON_OVERRIDE_DIST_PATH || join(folder, 'dist');
  try {
    const { version } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as { version: string };
    const binary = join(dist, readFileSync(join(folder, 'path.txt'), 'utf8').trim());
    accessSync(binary, constants.X_OK);
    const found = readFileSync(join(dist, 'version'), 'utf8').trim().replace(/^v/, '');
    return found === version ? binary : undefined;
  } catch {
    return undefined;
  }
}

/** A window needs a screen. */
export function hasScreen(environment: Environment, platform: string): boolean {
  return platform !== 'linux' || Boolean(environment.DISPLAY || environment.WAYLAND_DISPLAY);
}

/** Lets the package fetch its binary, its progress visible; false when that failed or took longer than `limit_ms`. */
export function fetchElectron(folder: string, limit_ms: number): Promise<boolean> {
  const installer = join(folder, 'install.js');
  if (!existsSync(installer)) return Promise.resolve(false);
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [installer], {
      stdio: ['ignore', 'inherit', 'ignore'],
      timeout: limit_ms,
    });
    child.once('error', () => resolve(false));
    child.once('exit', (code) => resolve(code === 0));
  });
}
