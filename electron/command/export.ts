/** `sheaflight export`: layers of many fields in the formats of other programs. */

import { join } from 'node:path';
import { ESTIMATE_ONLY } from '../../core/export/caution.ts';
import type { FormatName } from '../../core/export/formats/format-list.ts';
import type { LayerKind } from '../../core/export/layers/layer.ts';
import type { LayerExportChoice, LayerUnits } from '../../core/export/layers/layer-choice.ts';
import { grouped } from '../../core/export/report/figures.ts';
import { SeasonCache } from '../host/cache/season-cache.ts';
import { EXPORT_FOLDER, type ExportedFiles, writeLayers } from '../host/export/layer-export.ts';
import { freshSurface } from '../host/export/layer-sets.ts';
import { runSeason } from '../host/run-season.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import { stoppable } from './stoppable.ts';
import { progressLine, type Streams } from './streams.ts';

export interface ExportChoices {
  /** `<season folder>/out/export` when absent. */
  readonly out?: string;
  readonly as: readonly FormatName[];
  readonly layers: readonly LayerKind[];
  readonly field?: readonly string[];
  readonly points: 'kept' | 'all';
  /** The season's own when absent. */
  readonly units?: LayerUnits;
  readonly files: 'together' | 'each';
  readonly quiet?: boolean;
  /** False with `--no-cache`. */
  readonly cache?: boolean;
}

export async function exportLayers(
  folder: string,
  choices: ExportChoices,
  streams: Streams,
): Promise<ExitCode> {
  const progress = progressLine(streams);
  let cache: SeasonCache | undefined;
  const run = await runSeason(folder, progress.show, (found) => {
    if (choices.cache !== false) cache = new SeasonCache(found, streams.layer);
    return { cache };
  });
  if (!run.ok) {
    progress.wipe();
    return refuse(run, streams);
  }
  const choice: LayerExportChoice = {
    layers: choices.layers,
    formats: choices.as,
    ...(choices.field === undefined ? {} : { fields: choices.field }),
    points: choices.points,
    units: choices.units ?? run.value.season.units ?? 'metric',
    files: choices.files,
  };
  const written = await stoppable((signal) =>
    writeLayers(choices.out ?? join(folder, ...EXPORT_FOLDER.split('/')), run.value, choice, {
      layer: streams.layer,
      signal,
      onProgress: progress.show,
      surfaceOf: freshSurface,
    }),
  );
  progress.wipe();
  for (const { text } of written.notices) streams.err(`sheaflight: ${printable(text)}\n`);
  if (!written.ok) return refuse({ ...written, notices: [] }, streams);
  if (!choices.quiet) streams.out(listText(written.value));
  const unkept = await cache?.save();
  if (unkept !== undefined) streams.err(`sheaflight: ${unkept.text}\n`);
  if (written.value.features > 0) return EXIT.done;
  streams.err(
    'sheaflight: no point could be kept, so that the files are empty; "sheaflight build" says why.\n',
  );
  return EXIT.nothing_usable;
}

/** A line a file, with its bytes; then how many there are. */
function listText({ files, features }: ExportedFiles): string {
  const sizes = files.map(({ bytes }) => grouped(bytes, 0));
  const widest = Math.max(...sizes.map(({ length }) => length));
  const lines = files.map(({ path }, k) => `${sizes[k].padStart(widest)} bytes  ${printable(path)}`);
  const total = files.reduce((sum, { bytes }) => sum + bytes, 0);
  const what = `${grouped(files.length, 0)} ${files.length === 1 ? 'file' : 'files'}`;
  lines.push(`${what}, ${grouped(total, 0)} bytes, from ${grouped(features, 0)} features`);
  lines.push(ESTIMATE_ONLY);
  return `${lines.join('\n')}\n`;
}
