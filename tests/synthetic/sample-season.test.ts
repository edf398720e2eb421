import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { smallScene } from './crude-reading.ts';
import { SAMPLE_FOLDER, sampleSeason } from './sample-season.ts';
import { writeSeason } from './season-folder.ts';
import { simulate } from './simulate.ts';

describe('the sample season', () => {
  it('is in the repository as this program writes it, byte for byte, and under 6 MB', () => {
    const season = sampleSeason();
    let bytes = 0;
    for (const [path, content] of season.files) {
      const stored = join(SAMPLE_FOLDER, path);
      expect(existsSync(stored), `${path} is missing: run npm run sample`).toBe(true);
      expect(Buffer.compare(readFileSync(stored), content), `${path} differs: run npm run sample`).toBe(0);
      bytes += content.length;
    }
    expect(bytes).toBeLessThan(6_000_000);
    expect(season.truth.tickets.filter((ticket) => ticket.mistyped)).toHaveLength(1);
  });

  it('is written whole', () => {
    const folder = mkdtempSync(join(tmpdir(), 'season-'));
    try {
      const season = simulate(smallScene().machine({}));
      writeSeason(folder, season);
      for (const [path, content] of season.files) {
        expect(Buffer.compare(readFileSync(join(folder, path)), content)).toBe(0);
      }
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
