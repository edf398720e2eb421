/** A folder of small seasons, and what the command makes of it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach } from 'vitest';
import type { main as Main } from '../../electron/command/main.ts';
import { diskLayer } from '../../electron/host/file-layer.ts';
import { TOP } from '../structure/source-files.ts';
import { smallSeason } from './host/small-season.ts';
import { COMMAND } from './spoiled-season.ts';

/** A row of `build --all --json`, as far as tests look at it. */
export interface Row {
  readonly name: string;
  readonly state: string;
}

/** Fresh before each test. */
export class SeasonLibrary {
  home = '';
  #scratch = '';

  constructor(names: readonly string[]) {
    beforeEach(() => {
      this.#scratch = mkdtempSync(join(tmpdir(), 'sheaflight-all-'));
      this.home = join(this.#scratch, 'home');
      for (const name of names) this.add(name);
    });
    afterEach(() => rmSync(this.#scratch, { recursive: true }));
  }

  /** A season of its own name in `home`. */
  add(name: string): void {
    smallSeason(join(this.home, name));
    this.change(name, 'season.json', (text) => text.replace('"Small"', JSON.stringify(name)));
  }

  change(name: string, file: string, change: (text: string) => string): void {
    const path = join(this.home, name, file);
    writeFileSync(path, change(readFileSync(path, 'utf8')));
  }

  beside(name: string): string {
    return join(this.#scratch, name);
  }

  /** The compiled command in this process: what was built is known by the code that runs, too. */
  async run(...args: readonly string[]) {
    const said = { out: '', err: '' };
    const url = pathToFileURL(join(TOP, 'dist/electron/command/main.js')).href;
    const { main } = (await import(url)) as { main: typeof Main };
    const code = await main(args, {
      out: (text) => {
        said.out += text;
      },
      err: (text) => {
        said.err += text;
      },
      isTerminal: false,
      layer: diskLayer,
    });
    return { code, ...said };
  }

  buildAll(...options: readonly string[]) {
    return this.run('build', '--all', this.home, ...options);
  }

  /** `name: state` of every row. */
  async states(...options: readonly string[]): Promise<string[]> {
    const { out } = await this.buildAll('--json', ...options);
    return rowsOf(out).map(({ name, state }) => `${name}: ${state}`);
  }

  /** The command in a process of its own, so that something can be done to it. */
  started(...options: readonly string[]): ChildProcess {
    return spawn(process.execPath, [COMMAND, 'build', '--all', this.home, ...options], { stdio: 'ignore' });
  }

  /** Every file in a folder of results, with its bytes as Latin-1; the record of what was built left out. */
  outputs(out: string): Record<string, string> {
    if (!existsSync(out)) return {};
    const paths = readdirSync(out, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name !== 'built.json')
      .map((entry) => join(entry.parentPath, entry.name));
    return Object.fromEntries(
      paths.sort().map((path) => [path.slice(out.length), readFileSync(path, 'latin1')]),
    );
  }
}

export function rowsOf(text: string): Row[] {
  return text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Row);
}
