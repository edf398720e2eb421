/** The system's own bin for things that the user removes: nothing that a person made is ever deleted outright. */
import { execFile } from 'node:child_process';
import { lstat, mkdir, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join, relative, sep } from 'node:path';
import { promisify } from 'node:util';
import { failure, type Result, success } from '../../core/errors.ts';
import { codeOf } from './file-layer.ts';
import { type Environment, homeFolder } from './preferences.ts';

/** Puts `path` into the bin. Where there is none that takes it, it stays where it is, and the sentence says so. */
export type RecycleBin = (path: string) => Promise<Result<undefined>>;

/** The bin of this system. */
export function systemBin(environment: Environment, platform: string = process.platform): RecycleBin {
  if (platform === 'win32') return windowsBin;
  if (platform === 'darwin') return (path) => macBin(path, join(homeFolder(environment), '.Trash'));
  return (path) => freedesktopBin(path, environment);
}

/**
 * The bin as desktops on Linux keep it [FreeDesktop.org Trash specification 1.0]: `files/` holds what was removed,
 * `info/` where it came from. Things on the home's disk go to the home's bin, others to the one at the top of their
 * own disk, so that nothing is copied.
 */
export async function freedesktopBin(
  path: string,
  environment: Environment,
  now: Date = new Date(),
): Promise<Result<undefined>> {
  try {
    const home = join(environment.XDG_DATA_HOME || join(homeFolder(environment), '.local', 'share'), 'Trash');
    await mkdir(home, { recursive: true, mode: 0o700 }).catch(() => undefined);
    const device = (await lstat(path)).dev;
    const homeDevice = (await stat(home).catch(() => undefined))?.dev;
    if (homeDevice === device) return success(await putInto(home, path, path, now));
    const top = await topOfDisk(path, device);
    for (const bin of await binsOf(top)) {
      const usable = await mkdir(bin, { recursive: true, mode: 0o700 }).then(
        () => true,
        () => false,
      );
      // There the place is told from the top of the disk, which may be mounted elsewhere the next time.
      if (usable) return success(await putInto(bin, path, relative(top, path), now));
    }
    return failure(noBin(path, 'its disk has none'));
  } catch (caught) {
    const code = codeOf(caught);
    if (code === '') throw caught;
    return failure(noBin(path, `the system answered ${code}`));
  }
}

/** Info first, made so that no other can have the name; then the thing itself. */
async function putInto(bin: string, path: string, origin: string, now: Date): Promise<undefined> {
  await mkdir(join(bin, 'info'), { recursive: true, mode: 0o700 });
  await mkdir(join(bin, 'files'), { recursive: true, mode: 0o700 });
  for (let number = 1; ; number++) {
    const name = number === 1 ? basename(path) : `${basename(path)}.${number}`;
    const info = join(bin, 'info', `${name}.trashinfo`);
    try {
      await writeFile(info, infoText(origin, now), { flag: 'wx', mode: 0o600 });
    } catch (caught) {
      if (codeOf(caught) === 'EEXIST') continue;
      throw caught;
    }
    try {
      if ((await lstat(join(bin, 'files', name)).catch(() => undefined)) !== undefined)
        throw Object.assign(new Error('left without its info'), { code: 'EEXIST' });
      await rename(path, join(bin, 'files', name));
      return undefined;
    } catch (caught) {
      await rm(info, { force: true });
      if (codeOf(caught) !== 'EEXIST' && codeOf(caught) !== 'ENOTEMPTY') throw caught;
    }
  }
}

function infoText(origin: string, now: Date): string {
  const place = origin.split(sep).map(encodeURIComponent).join('/');
  const two = (part: number) => String(part).padStart(2, '0');
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const clock = `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
  return `[Trash Info]\nPath=${place}\nDeletionDate=${day}T${clock}\n`;
}

/** The highest folder above `path` on the same disk. */
async function topOfDisk(path: string, device: number): Promise<string> {
  let top = dirname(path);
  for (;;) {
    const parent = dirname(top);
    if (parent === top || (await stat(parent)).dev !== device) return top;
    top = parent;
  }
}

/** `.Trash/<user>` where the administrator has made it (sticky, no link), else `.Trash-<user>`. */
async function binsOf(top: string): Promise<string[]> {
  const user = String(process.getuid?.() ?? 0);
  const shared = await lstat(join(top, '.Trash')).catch(() => undefined);
  const STICKY = 0o1000;
  const isSound = shared?.isDirectory() === true && (shared.mode & STICKY) !== 0;
  return [...(isSound ? [join(top, '.Trash', user)] : []), join(top, `.Trash-${user}`)];
}

/** The Finder's bin is a folder; a name that is taken there gets a number, as the Finder does it. */
async function macBin(path: string, bin: string): Promise<Result<undefined>> {
  try {
    for (let number = 1; ; number++) {
      const target = join(bin, number === 1 ? basename(path) : `${basename(path)} ${number}`);
      if ((await lstat(target).catch(() => undefined)) !== undefined) continue;
      await rename(path, target);
      return success(undefined);
    }
  } catch (caught) {
    const code = codeOf(caught);
    if (code === '') throw caught;
    return failure(noBin(path, code === 'EXDEV' ? 'its disk has none' : `the system answered ${code}`));
  }
}

/** By the system's own call; the path goes through the environment, so that no letter of it can be taken for a command. */
async function windowsBin(path: string): Promise<Result<undefined>> {
  const script =
    "Add-Type -AssemblyName Microsoft.VisualBasic; [Microsoft.VisualBasic.FileIO.FileSystem]::DeleteDirectory($env:SHEAFLIGHT_REMOVE, 'OnlyErrorDialogs', 'SendToRecycleBin')";
  try {
    await promisify(execFile)('powershell.exe', ['-NoProfile', '-NonInteractive', '-Command', script], {
      env: { ...process.env, SHEAFLIGHT_REMOVE: path },
      windowsHide: true,
      timeout: 120_000,
    });
    return success(undefined);
  } catch {
    return failure(noBin(path, 'the system refused'));
  }
}

function noBin(path: string, why: string) {
  const text = `${basename(path)} could not be put into the bin: ${why}. It stays where it is; remove the folder ${path} yourself if you are sure.`;
  return { code: 'no_bin', source: path, text };
}
