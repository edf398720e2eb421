/** The real command, and copies of the sample season that a test may spoil. */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach } from 'vitest';
import { TOP } from '../structure/source-files.ts';

/** The command as `npx sheaflight` starts it. */
export const COMMAND = join(TOP, 'electron/command/sheaflight.mjs');
const SAMPLES = join(TOP, 'sample-data');
/** The sample season, not to be touched. */
export const SAMPLE = join(
  SAMPLES,
  readdirSync(SAMPLES).find((name) => existsSync(join(SAMPLES, name, 'season.json'))) ?? '',
);

/** What a test may do to the sheet. */
type SheetChange = (sheet: {
  machines: { paddle: { pitch_mm: number } }[];
  logs: { files: string[] }[];
}) => void;

/** Runs the real command in a process of its own. */
export function command(args: readonly string[], environment: Record<string, string> = {}) {
  const ran = spawnSync(process.execPath, [COMMAND, ...args], {
    encoding: 'utf8',
    env: { ...process.env, ...environment },
    maxBuffer: 1 << 28,
  });
  return { code: ran.status, out: ran.stdout, err: ran.stderr };
}

/** A folder for the tests of one file, and in it a fresh copy of the sample season before each. */
export class SpoiledSeason {
  scratch = '';
  folder = '';

  constructor() {
    beforeAll(() => {
      if (!existsSync(join(TOP, 'dist/electron/command/main.js')))
        throw new Error('run "npm run build" first');
      this.scratch = mkdtempSync(join(tmpdir(), 'sheaflight-command-'));
    });
    beforeEach(() => {
      this.folder = mkdtempSync(join(this.scratch, 'season-'));
      cpSync(SAMPLE, this.folder, { recursive: true });
      rmSync(this.path('out'), { recursive: true, force: true });
    });
    afterAll(() => rmSync(this.scratch, { recursive: true }));
  }

  path(...steps: readonly string[]): string {
    return join(this.folder, ...steps);
  }

  get sheet(): string {
    return readFileSync(this.path('season.json'), 'utf8');
  }

  spoil(change: SheetChange): void {
    const parsed = JSON.parse(this.sheet);
    change(parsed);
    writeFileSync(this.path('season.json'), JSON.stringify(parsed, null, 2));
  }
}
