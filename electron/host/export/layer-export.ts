/** From a season's result to exported files: layers of the chosen fields, and the formats that write them. */
import { failure, type Result, success } from '../../../core/errors.ts';
import type { ExportFormat, LayerSet } from '../../../core/export/formats/format.ts';
import { FORMATS, type FormatName } from '../../../core/export/formats/format-list.ts';
import { provenanceText } from '../../../core/export/formats/provenance-text.ts';
import type { LayerKind } from '../../../core/export/layers/layer.ts';
import type { LayerExportChoice, LayerUnits } from '../../../core/export/layers/layer-choice.ts';
import { seasonProvenance } from '../../../core/export/layers/season-provenance.ts';
import { nearestWord } from '../../../core/nearest-word.ts';
import {
  type FileToWrite,
  toldFile,
  type WritingOptions,
  type WrittenFile,
  writeFiles,
} from '../atomic-write.ts';
import { folderNameFrom } from '../file-name.ts';
import type { ProgressListener, SeasonRun } from '../run-season.ts';
import { loadFormat } from './format-loaders.ts';
import { layerSets, type MadeSurface, type SurfaceOf, surfacesOf } from './layer-sets.ts';
import { otherPartitions } from './other-partitions.ts';

export interface ExportContext extends WritingOptions {
  readonly surfaceOf: SurfaceOf;
  /** Told what is being done, and the share of the whole. */
  readonly onProgress: ProgressListener;
}

export interface ExportedFiles {
  readonly files: readonly WrittenFile[];
  /** Features in all layers; with none there is nothing to use in the files. */
  readonly features: number;
}

/** Inside a season folder: beside what a build writes, whose names scripts rely on. */
export const EXPORT_FOLDER = 'out/export';

interface ChosenFormat {
  readonly name: FormatName;
  readonly format: ExportFormat;
}

/** Share of the whole that surfaces take, where there are any. A guess of ours. */
const SURFACES_SHARE = 0.6;

/**
 * Writes what was chosen into `out`: all files or none. Fails with `not_available`, `no_such_field`, `nothing_to_export`, with what
 * a format refuses, or with what the disk does. Fields without a surface, and what a data set holds beside what was written, are told of
 * in the notices.
 */
export async function writeLayers(
  out: string,
  run: SeasonRun,
  choice: LayerExportChoice,
  context: ExportContext,
): Promise<Result<ExportedFiles>> {
  const formats = await chosenFormats(choice);
  if (!formats.ok) return formats;
  const places = chosenPlaces(run, choice.fields);
  if (!places.ok) return places;
  const kinds = choice.layers.filter((kind) =>
    formats.value.some(({ format }) => format.kinds.includes(kind)),
  );
  const needsSurface = kinds.includes('cells') || kinds.includes('zones');
  const surfaces: Result<ReadonlyMap<number, MadeSurface>> = needsSurface
    ? await surfacesOf(run, places.value, context.surfaceOf, {
        ...context,
        onProgress: (stage, share) => context.onProgress(stage, SURFACES_SHARE * share),
      })
    : success(new Map());
  if (!surfaces.ok) return surfaces;
  if (surfaces.value.size === 0 && kinds.every((kind) => kind === 'cells' || kind === 'zones')) {
    const why = surfaces.notices.at(-1)?.text ?? '';
    const text = `No field has a surface, so that there are no cells and no zones. ${why}`.trim();
    return failure({ code: 'nothing_to_export', source: 'season.json', text });
  }
  const made = setsByUnits(run, choice, { places: places.value, kinds, surfaces: surfaces.value });
  const files = await filesOf(run, choice, formats.value, made, places.value);
  if (!files.ok) return files;
  const begun = needsSurface ? SURFACES_SHARE : 0;
  const told = files.value.map((file, k) =>
    toldFile(file, () =>
      context.onProgress(`writing ${file.name}`, begun + (1 - begun) * (k / files.value.length)),
    ),
  );
  const written = await writeFiles(out, told, context);
  if (!written.ok) return written;
  const features = made(choice.units).reduce(
    (sum, { layers }) => layers.reduce((rows, layer) => rows + layer.rows, sum),
    0,
  );
  // who asks for some of the fields knows that there are others
  const others = choice.fields === undefined ? await otherPartitions(out, written.value) : [];
  return success({ files: written.value, features }, [...surfaces.notices, ...others]);
}

/** Each with at least one layer to hold, or a sentence about the first that cannot be had. */
async function chosenFormats({ formats, layers }: LayerExportChoice): Promise<Result<ChosenFormat[]>> {
  const chosen: ChosenFormat[] = [];
  for (const name of new Set(formats)) {
    const format = await loadFormat(name);
    if (format === undefined) {
      const text = `This build of the program cannot write ${FORMATS[name].title} yet.`;
      return failure({ code: 'not_available', source: name, text });
    }
    if (!format.kinds.some((kind) => layers.includes(kind))) {
      const text = `${FORMATS[name].title} holds ${listed(format.kinds)}; choose that layer too, or leave the format out.`;
      return failure({ code: 'nothing_to_export', source: name, text });
    }
    chosen.push({ name, format });
  }
  return success(chosen);
}

/** Places of the fields among the result's points. */
function chosenPlaces({ result }: SeasonRun, fields: readonly string[] | undefined): Result<number[]> {
  const known = result.points.map(({ field }) => field);
  if (fields === undefined) return success([...known.keys()]);
  for (const name of fields) {
    if (known.includes(name)) continue;
    const nearest = nearestWord(name, known);
    const hint = nearest === undefined ? '' : `; did you mean "${nearest}"?`;
    const there = known.map((field) => `"${field}"`).join(', ') || 'none';
    const text = `There is no field "${name}" with points${hint || `; there is ${there}.`}`;
    return failure({ code: 'no_such_field', source: 'season.json', text });
  }
  return success([...known.keys()].filter((place) => fields.includes(known[place])));
}

type SetsOf = (units: LayerUnits) => readonly LayerSet[];

/** Made once for each system of units that a format asks for. */
function setsByUnits(
  run: SeasonRun,
  choice: LayerExportChoice,
  wanted: {
    readonly places: readonly number[];
    readonly kinds: readonly LayerKind[];
    readonly surfaces: ReadonlyMap<number, MadeSurface>;
  },
): SetsOf {
  const made = new Map<LayerUnits, readonly LayerSet[]>();
  return (units) => {
    const known = made.get(units) ?? layerSets(run, { ...choice, units }, wanted);
    made.set(units, known);
    return known;
  };
}

async function filesOf(
  run: SeasonRun,
  choice: LayerExportChoice,
  formats: readonly ChosenFormat[],
  setsOf: SetsOf,
  places: readonly number[],
): Promise<Result<FileToWrite[]>> {
  const provenance = seasonProvenance(run.season, run.result, choice, places);
  const files: FileToWrite[] = [];
  for (const { name, format } of formats) {
    const sets = setsOf(FORMATS[name].units ?? choice.units).filter(({ kind }) =>
      format.kinds.includes(kind),
    );
    const refusal = format.refusal?.(sets);
    if (refusal !== undefined) return failure(refusal);
    files.push(...(await format.files(sets, provenance)));
  }
  const beside = formats.map(({ name }) => name).filter((name) => FORMATS[name].provenance === 'beside');
  if (beside.length > 0) {
    const text = provenanceText(provenance, setsOf(choice.units), beside);
    files.push({ name: `${folderNameFrom(run.season.name)}-about.txt`, pieces: [text] });
  }
  const names = new Set<string>();
  for (const { name } of files) {
    // large and small letters are one on some disks
    if (names.has(name.toLowerCase())) throw new RangeError(`two files of an export are called ${name}`);
    names.add(name.toLowerCase());
  }
  return success(files);
}

function listed(kinds: readonly LayerKind[]): string {
  return kinds.length < 2 ? kinds.join('') : `${kinds.slice(0, -1).join(', ')} and ${kinds.at(-1)}`;
}
