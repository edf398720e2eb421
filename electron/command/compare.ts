/** `sheaflight compare`: did it pay? Strips, totals and margins as tables, and as files. */
import { readFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { ComparisonSheet } from '../../core/analysis/comparison/comparison-sheet.ts';
import { treatmentChoices } from '../../core/analysis/comparison/treatment-file.ts';
import type { SeasonComparisons } from '../../core/analysis/season-comparisons.ts';
import type { GroupKind } from '../../core/analysis/totals/group-totals.ts';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { comparisonFiles, comparisonsText } from '../../core/export/comparison/comparison-files.ts';
import type { Season } from '../../core/season.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { SeasonCache } from '../host/cache/season-cache.ts';
import { comparisonsOf } from '../host/comparisons.ts';
import { diskFault } from '../host/disk-faults.ts';
import { codeOf } from '../host/file-layer.ts';
import { runSeason } from '../host/run-season.ts';
import { decodeTextFile } from '../host/text-decoding.ts';
import { comparisonsTextOf } from './comparison-text.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import { progressLine, type Streams } from './streams.ts';

export interface CompareChoices {
  readonly out?: string;
  readonly field?: string;
  /** A file of treatments beside those of the season. */
  readonly treatments?: string;
  readonly property?: string;
  readonly replicate?: string;
  readonly by?: GroupKind;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

export async function compare(folder: string, choices: CompareChoices, streams: Streams): Promise<ExitCode> {
  const progress = progressLine(streams);
  let cache: SeasonCache | undefined;
  const run = await runSeason(folder, progress.show, (found) => {
    cache = new SeasonCache(found, streams.layer);
    return { cache };
  });
  progress.wipe();
  if (!run.ok) return refuse(run, streams);
  const { season, result } = run.value;
  const known = result.points.map(({ field }) => field);
  if (choices.field !== undefined && !known.includes(choices.field)) {
    const text = `There is no field "${choices.field}" with points; there is ${known.map((name) => `"${name}"`).join(', ') || 'none'}.`;
    return refuse({ error: { code: 'no_such_field', source: folder, text }, notices: [] }, streams);
  }
  const given = await givenTreatments(choices, known, streams);
  if (!given.ok) return refuse(given, streams);
  const { sheets, texts } = given.value;
  const wanted: Season = { ...season, comparisons: [...(season.comparisons ?? []), ...sheets] };
  const choice = { field: choices.field, by: choices.by === undefined ? undefined : [choices.by] };
  const made = withoutEmptyFields(
    await comparisonsOf(folder, { season: wanted, result }, choice, texts),
    sheets,
  );
  if (!choices.quiet)
    for (const { text, severity } of made.notices)
      if (severity !== 'info') streams.err(`sheaflight: ${printable(text)}\n`);
  const written = await writeFiles(choices.out ?? join(folder, 'out'), comparisonFiles(made), {
    layer: streams.layer,
  });
  if (!written.ok) return refuse(written, streams);
  if (choices.json) streams.out(comparisonsText(made));
  else if (!choices.quiet) {
    streams.out(comparisonsTextOf(made, season));
    for (const { path } of written.value) streams.out(`${path}\n`);
  }
  const unkept = await cache?.save();
  if (unkept !== undefined) streams.err(`sheaflight: ${unkept.text}\n`);
  const isRead = sheets.length === 0 || made.comparisons.some(({ name }) => name === sheets[0].name);
  const isAnswered = isRead && (made.comparisons.length > 0 || made.refused.length === 0);
  return isAnswered ? EXIT.done : EXIT.nothing_usable;
}

interface GivenTreatments {
  readonly sheets: readonly ComparisonSheet[];
  readonly texts: ReadonlyMap<string, Result<string>>;
}

const NONE_GIVEN: Result<GivenTreatments> = success({ sheets: [], texts: new Map() });

/** The file of `--treatments` as a comparison in every field that is asked for: which of them it lies in shows when points are sought. */
async function givenTreatments(
  { treatments, property, replicate, field }: CompareChoices,
  fields: readonly string[],
  streams: Streams,
): Promise<Result<GivenTreatments>> {
  if (treatments === undefined)
    return property === undefined && replicate === undefined ? NONE_GIVEN : failure(noTreatments());
  const name = basename(treatments);
  let bytes: Uint8Array;
  try {
    bytes = await readFile(treatments);
  } catch (caught) {
    return failure(unread(treatments, caught));
  }
  const decoded = decodeTextFile(bytes, name);
  if (!decoded.ok) return decoded;
  const { text } = decoded.value;
  const choices = treatmentChoices(text, name);
  if (!choices.ok) return choices;
  const { guess, properties } = choices.value;
  const treatment = property ?? guess?.treatment;
  if (treatment === undefined) {
    const list = properties.map((one) => `"${one.name}" (${one.different} different)`).join(', ');
    const said = `No property of ${name} looks like treatments; name it with --property. It has ${list || 'none'}.`;
    return failure({ code: 'no_treatment', source: name, text: said });
  }
  if (property === undefined && guess !== null) streams.err(`sheaflight: ${printable(guess.reason)}\n`);
  const blocks = replicate ?? (property === undefined ? (guess?.replicate ?? undefined) : undefined);
  const file = { path: name, treatment, ...(blocks === undefined ? {} : { replicate: blocks }) };
  const sheets = fields
    .filter((one) => field === undefined || one === field)
    .map((one): ComparisonSheet => ({ name, field: one, file }));
  return success({ sheets, texts: new Map([[name, success(text)]]) });
}

/** Why the file could not be read. */
function unread(path: string, caught: unknown): DataError {
  const code = codeOf(caught);
  if (code === 'ENOENT')
    return { code: 'no_such_file', source: path, text: `there is no file ${path}; check the path.` };
  if (code === 'EISDIR')
    return { code: 'is_a_folder', source: path, text: `${path} is a folder; give the file of the strips.` };
  return diskFault(caught, `read ${path}`, path);
}

function noTreatments(): DataError {
  const text = '--property and --replicate name columns of a file; give it too, with --treatments.';
  return { code: 'no_treatments', source: '--treatments', text };
}

/**
 * A file given for the whole season need not lie in every field; and what is wrong with it is wrong in all of them, and said
 * once.
 */
function withoutEmptyFields(made: SeasonComparisons, given: readonly ComparisonSheet[]): SeasonComparisons {
  const isGiven = (name: string) => given.some((one) => one.name === name);
  const isMade = made.comparisons.some(({ name }) => isGiven(name));
  const texts = made.refused.map(({ text }) => text);
  const refused = made.refused.filter(
    ({ name, text }, k) => !isGiven(name) || (!isMade && texts.indexOf(text) === k),
  );
  return { ...made, refused };
}
