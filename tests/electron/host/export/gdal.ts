/**
 * GDAL's tools, readers that are not ours (Debian's gdal-bin). Tests are skipped where they are not there, unless
 * `SHEAFLIGHT_NEEDS_GDAL=1` says that they have to be.
 */
import { spawnSync } from 'node:child_process';

export const NO_GDAL = 'skipped: gdal not present';

/** What a tool prints; `undefined` where there is no GDAL. Throws where the tool finds fault, with what it says. */
export function gdal(
  tool: 'gdalinfo' | 'ogrinfo' | 'ogr2ogr',
  ...args: readonly string[]
): string | undefined {
  const { error, status, stdout, stderr } = spawnSync(tool, args, { encoding: 'utf8', maxBuffer: 1 << 26 });
  if (error !== undefined) {
    if ('code' in error && error.code === 'ENOENT' && process.env.SHEAFLIGHT_NEEDS_GDAL !== '1')
      return undefined;
    throw error;
  }
  // a warning is a fault too
  if (status !== 0 || stderr !== '') throw new Error(`${tool} ${args.join(' ')}: ${stderr}`);
  return stdout;
}
