/** Running `sheaflight import` in a scratch folder, in this process. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { ImportReport } from '../../../core/host-contract.ts';
import type { Season } from '../../../core/season.ts';
import { main } from '../../../electron/command/main.ts';
import { diskLayer } from '../../../electron/host/file-layer.ts';

export class Scratch {
  readonly folder = mkdtempSync(join(tmpdir(), 'sheaflight-import-'));

  path(...steps: string[]): string {
    return join(this.folder, ...steps);
  }

  /** Files into a folder of the scratch; returns the folder. */
  write(folder: string, files: Iterable<readonly [path: string, content: Uint8Array | string]>): string {
    for (const [path, content] of files) {
      mkdirSync(dirname(this.path(folder, path)), { recursive: true });
      writeFileSync(this.path(folder, path), content);
    }
    return this.path(folder);
  }

  sheet(folder: string): Season {
    return JSON.parse(readFileSync(this.path(folder, 'season.json'), 'utf8'));
  }

  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** One command line, and what came of it. */
export async function command(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  let out = '';
  let err = '';
  const code = await main(args, {
    out: (piece) => {
      out += piece;
    },
    err: (piece) => {
      err += piece;
    },
    isTerminal: false,
    layer: diskLayer,
  });
  return { code, out, err };
}

/** The report of an import that must go well. */
export async function imported(...args: string[]): Promise<ImportReport> {
  const { code, out, err } = await command('import', ...args, '--json');
  if (code !== 0) throw new Error(`exit code ${code}: ${err}${out}`);
  return JSON.parse(out);
}
