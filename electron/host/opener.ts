/** Opens a file in whatever the machine shows such files with. */
import { spawn } from 'node:child_process';

/**
 * Whether an opener was started. Never fails: a machine without a display or a browser is a normal machine. With
 * `SHEAFLIGHT_NO_OPEN=1`, or on Linux without a display, none is tried.
 */
export async function openFile(
  path: string,
  environment = process.env,
  platform = process.platform,
): Promise<boolean> {
  const opener = openerFor(path, environment, platform);
  if (!opener) return false;
  return new Promise((resolve) => {
    const child = spawn(opener.command, opener.args, { stdio: 'ignore', detached: true, env: environment });
    child.once('error', () => resolve(false));
    child.once('spawn', () => {
      child.unref();
      resolve(true);
    });
  });
}

/** The command that opens `path`; `undefined` where none should be tried. */
export function openerFor(
  path: string,
  environment: Readonly<Record<string, string | undefined>>,
  platform: string,
): { readonly command: string; readonly args: readonly string[] } | undefined {
  if (environment.SHEAFLIGHT_NO_OPEN === '1') return undefined;
  if (platform === 'darwin') return { command: 'open', args: [path] };
  if (platform === 'win32') return { command: 'explorer.exe', args: [path] };
  const hasDisplay = Boolean(environment.DISPLAY || environment.WAYLAND_DISPLAY);
  return hasDisplay ? { command: 'xdg-open', args: [path] } : undefined;
}
