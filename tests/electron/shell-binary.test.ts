import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { electronBinary, fetchElectron, hasScreen } from '../../electron/electron-binary.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-electron-'));
  writeFileSync(join(folder, 'package.json'), '{"version":"45.4.1"}');
});

afterEach(() => rmSync(folder, { recursive: true }));

function install(dist: string, version: string): string {
  mkdirSync(dist, { recursive: true });
  writeFileSync(join(folder, 'path.txt'), 'electron');
  writeFileSync(join(dist, 'electron'), '');
  chmodSync(join(dist, 'electron'), 0o755);
  writeFileSync(join(dist, 'version'), version);
  return join(dist, 'electron');
}

describe('Electron’s binary', () => {
  it('is not there after npm alone', () => {
    expect(electronBinary(folder, {})).toBeUndefined();
  });

  it('is found by its files, with or without a v before the version', () => {
    const binary = install(join(folder, 'dist'), 'v45.4.1\n');
    expect(electronBinary(folder, {})).toBe(binary);
    writeFileSync(join(folder, 'dist', 'version'), '45.4.1');
    expect(electronBinary(folder, {})).toBe(binary);
  });

  it('counts only in the package’s version, and when it can be run', () => {
    const binary = install(join(folder, 'dist'), '44.0.0');
    expect(electronBinary(folder, {})).toBeUndefined();
    writeFileSync(join(folder, 'dist', 'version'), '45.4.1');
    rmSync(binary);
    expect(electronBinary(folder, {})).toBeUndefined();
  });

  it('may stand elsewhere', () => {
    const elsewhere = join(folder, 'elsewhere');
    const binary = install(elsewhere, '45.4.1');
    expect(electronBinary(folder, { ELECTRON_OVERRIDE_DIST_PATH: elsewhere })).toBe(binary);
    expect(electronBinary(folder, {})).toBeUndefined();
  });

  it('is fetched by the package’s own script, within the time given', async () => {
    expect(await fetchElectron(folder, 1000)).toBe(false);
    writeFileSync(join(folder, 'install.js'), 'process.exit(0)');
    expect(await fetchElectron(folder, 20_000)).toBe(true);
    writeFileSync(join(folder, 'install.js'), 'process.exit(1)');
    expect(await fetchElectron(folder, 20_000)).toBe(false);
    writeFileSync(join(folder, 'install.js'), 'setTimeout(() => {}, 60_000)');
    expect(await fetchElectron(folder, 300)).toBe(false);
  });

  it('needs a screen', () => {
    expect(hasScreen({}, 'linux')).toBe(false);
    expect(hasScreen({ WAYLAND_DISPLAY: 'wayland-0' }, 'linux')).toBe(true);
    expect(hasScreen({}, 'darwin')).toBe(true);
  });
});
