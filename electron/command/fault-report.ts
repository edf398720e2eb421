/** When the program itself fails: a file that whoever mends it can work from. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { generatedBy } from '../host/program-version.ts';

/**
 * Writes the report into `folder`, or into the system's folder for temporary files when that cannot be; returns its
 * path. It holds versions, the command line and the stack: no data.
 */
export function writeFaultReport(
  caught: unknown,
  args: readonly string[],
  folder: string | undefined,
): string {
  const text = [
    `${generatedBy()} on Node ${process.version}, ${process.platform} ${process.arch}`,
    `command: sheaflight ${args.join(' ')}`,
    `time: ${new Date().toISOString()}`,
    '',
    caught instanceof Error ? (caught.stack ?? caught.message) : String(caught),
    '',
  ].join('\n');
  const name = `sheaflight-fault-${process.pid}.txt`;
  for (const place of folder === undefined ? [tmpdir()] : [folder, tmpdir()]) {
    try {
      mkdirSync(place, { recursive: true });
      writeFileSync(join(place, name), text);
      return join(place, name);
    } catch {
      // the next place may take it
    }
  }
  return 'nowhere (no folder could be written)';
}
