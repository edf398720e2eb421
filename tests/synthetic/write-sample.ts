/** `npm run sample`: writes the sample season afresh. */
import { rmSync } from 'node:fs';
import { SAMPLE_FOLDER, sampleSeason } from './sample-season.ts';
import { writeSeason } from './season-folder.ts';

rmSync(SAMPLE_FOLDER, { recursive: true, force: true });
const season = sampleSeason();
writeSeason(SAMPLE_FOLDER, season);
let total_kb = 0;
for (const [path, bytes] of season.files) {
  total_kb += bytes.length / 1000;
  console.log(`${path}  ${(bytes.length / 1000).toFixed(1)} kB`);
}
console.log(`${SAMPLE_FOLDER}: ${season.files.size} files, ${total_kb.toFixed(0)} kB`);
