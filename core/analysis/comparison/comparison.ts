/**
 * Treatments side by side in a field: strips are the experimental units, their means are compared, and a sentence says what
 * follows. Points of one strip are neighbours, not replicates: they only make its mean.
 */
import { finiteOrNull } from '../../columns.ts';
import { type DataError, failure, type Result, success } from '../../errors.ts';
import type { FieldPoints, FieldSummary } from '../../result.ts';
import { frameOfPoints } from '../../surface/points-frame.ts';
import { modelOfField } from '../../surface/surface-plan.ts';
import type { SurfaceSheet } from '../../surface/surface-sheet.ts';
import { haFromM2, tHaFromKgM2 } from '../../units.ts';
import { concluded } from './comparison-conclusion.ts';
import type { ComparedStrip, FieldComparison } from './comparison-result.ts';
import type { ComparisonSheet } from './comparison-sheet.ts';
import type { YieldWords } from './comparison-words.ts';
import { stripDesign } from './strip-design.ts';
import { type StripError, stripErrors } from './strip-errors.ts';
import { type StripMean, stripMean } from './strip-means.ts';
import { END_BUFFER_M, type LeftOut, pointsInStrips } from './strip-points.ts';
import { withRunsJoined } from './strip-runs.ts';
import { type TreatmentStrip, treatmentStrips } from './treatment-strips.ts';

export interface ComparisonInput {
  readonly sheet: ComparisonSheet;
  readonly points: FieldPoints;
  /** Text of the sheet's file, where it names one. */
  readonly text: string | undefined;
  readonly surface: SurfaceSheet | undefined;
  readonly summary: FieldSummary | undefined;
  readonly epoch_utc_s: number;
  /** By the points' column `machine`: ids, and the names to tell of them. */
  readonly machines: readonly string[];
  readonly machine_names: readonly string[];
  readonly words: YieldWords;
}

/** More is a numbering of polygons, or rates that were not rounded to what was meant. Ours. */
const MOST_TREATMENTS = 50;

/** Fails where a file of treatments cannot be used, or where no strip has a point that counts. */
export function compareStrips(input: ComparisonInput): Result<FieldComparison> {
  const { sheet, points } = input;
  const frame = frameOfPoints(points);
  if (frame === undefined) return failure(noPoints(sheet));
  const found = treatmentStrips(sheet, frame, input.text);
  if (!found.ok) return found;
  const count = new Set(found.value.map(({ treatment }) => treatment)).size;
  if (count > MOST_TREATMENTS) return failure(tooMany(sheet, count));
  const buffers = { end_m: sheet.end_buffer_m ?? END_BUFFER_M, side_m: sheet.side_buffer_m ?? 0 };
  const { strips, strip, left_out } = withRunsJoined(
    found.value,
    pointsInStrips(points, found.value, buffers, input),
    points,
  );
  const rows = rowsOf(strip, strips.length);
  const model = modelOfField(withoutTreatments(points, strip, strips), input.surface);
  const means = rows.map((own) => (own.length > 0 ? stripMean(points, own) : undefined));
  const measured = strips.map((_, k) => k).filter((k) => means[k] !== undefined);
  if (measured.length === 0) return failure(noPoints(sheet));
  const errors = stripErrors(
    points,
    measured.map((k) => rows[k]),
    model,
  );
  const across = acrossOf(points, strip);
  const design = stripDesign(
    measured.map((k) => ({ ...strips[k], across_m: across(means[k] as StripMean) })),
  );
  const told = (k: number, block: string | null): ComparedStrip => ({
    treatment: strips[k].treatment,
    block,
    left_out: left_out[k],
    ...stripFigures(means[k], errors[measured.indexOf(k)], input.machine_names),
  });
  const blockOf = (place: number) => design.blocks[design.block[place]] ?? null;
  const compared = measured.map((k, place) => told(k, blockOf(place)));
  const empty = strips.flatMap((one, k) => (means[k] === undefined ? [told(k, one.replicate ?? null)] : []));
  return success(
    concluded(input, { design, compared, empty, elsewhere: elsewhere(points, strip, left_out) }),
    found.notices,
  );
}

/** Grain per ground, by strip; of one without points only that it has none. */
function stripFigures(
  mean: StripMean | undefined,
  error: StripError | undefined,
  machine_names: readonly string[],
): Omit<ComparedStrip, 'treatment' | 'block' | 'left_out'> {
  return {
    machines: (mean?.machines ?? []).map((machine) => machine_names[machine] ?? String(machine)),
    points: mean?.points ?? 0,
    effective_points: finiteOrNull(error?.effective_points ?? Number.NaN),
    area_ha: haFromM2(mean?.area_m2 ?? 0),
    mass_wet_kg: mean?.mass_wet_kg ?? 0,
    mass_std_kg: mean?.mass_std_kg ?? 0,
    moisture_pct: finiteOrNull(mean?.moisture_pct ?? Number.NaN),
    yield_t_ha: finiteOrNull(tHaFromKgM2(mean?.yield_kg_m2 ?? Number.NaN)),
    yield_se_t_ha: finiteOrNull(tHaFromKgM2(error?.se_kg_m2 ?? Number.NaN)),
  };
}

function rowsOf(strip: Int32Array, count: number): Int32Array[] {
  const rows: number[][] = Array.from({ length: count }, () => []);
  strip.forEach((own, row) => {
    if (own >= 0) rows[own].push(row);
  });
  return rows.map((own) => Int32Array.from(own));
}

/** Points of strips less the mean of their treatment, so that the variogram is that of the ground and not of what is compared. */
function withoutTreatments(
  points: FieldPoints,
  strip: Int32Array,
  strips: readonly TreatmentStrip[],
): FieldPoints {
  const sums = new Map<string, { kg: number; m2: number }>();
  strip.forEach((own, row) => {
    if (own < 0) return;
    const sum = sums.get(strips[own].treatment) ?? { kg: 0, m2: 0 };
    sum.kg += points.fresh_area_m2[row] * points.yield_kg_m2[row];
    sum.m2 += points.fresh_area_m2[row];
    sums.set(strips[own].treatment, sum);
  });
  const yield_kg_m2 = points.yield_kg_m2.map((amount, row) => {
    const sum = strip[row] < 0 ? undefined : sums.get(strips[strip[row]].treatment);
    return sum === undefined ? Number.NaN : amount - sum.kg / sum.m2;
  });
  return { ...points, yield_kg_m2 };
}

/** Place of a strip's middle across the direction in which its field was driven. */
function acrossOf({ heading_rad }: FieldPoints, strip: Int32Array): (mean: StripMean) => number {
  let [sin, cos] = [0, 0];
  strip.forEach((own, row) => {
    if (own < 0 || !Number.isFinite(heading_rad[row])) return;
    // ways there and back are the same way: angles are doubled
    sin += Math.sin(2 * heading_rad[row]);
    cos += Math.cos(2 * heading_rad[row]);
  });
  const along = Math.atan2(sin, cos) / 2;
  return ({ middle_east_m, middle_north_m }) =>
    middle_east_m * Math.cos(along) - middle_north_m * Math.sin(along);
}

function elsewhere(points: FieldPoints, strip: Int32Array, left_out: readonly LeftOut[]) {
  let kept = 0;
  strip.forEach((own, row) => {
    if (own < 0 && points.screened_by[row] === 0 && points.pass[row] >= 0) kept++;
  });
  const near = left_out.reduce((sum, o) => sum + o.straddling + o.over_edge + o.near_end + o.near_side, 0);
  return Math.max(0, kept - near);
}

function tooMany({ name, file }: ComparisonSheet, count: number): DataError {
  const mend =
    file === undefined
      ? 'give strips of one treatment the same name'
      : 'choose another property, or round its rates';
  const text = `Comparison "${name}" has ${count} different treatments, more than ${MOST_TREATMENTS}; ${mend}.`;
  return { code: 'too_many_treatments', source: name, text };
}

function noPoints({ name, field }: ComparisonSheet): DataError {
  const text = `No point of field "${field}" lies in a strip of comparison "${name}"; look whether the strips lie where the passes are and are as wide as the cut, whether the points were screened, and whether the buffers leave room.`;
  return { code: 'no_points_in_strips', source: name, text };
}
