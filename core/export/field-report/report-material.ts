/** What the field report and the season report are made of. */
import type { FieldPoints, FieldSummary } from '../../result.ts';
import { frameOfPoints } from '../../surface/points-frame.ts';
import { tHaFromKgM2 } from '../../units.ts';
import { type MappedSurface, surfaceShapes, swathShapes } from '../pictures/map-ground.ts';
import type { MapSubject } from '../pictures/map-picture.ts';
import { type Classes, classOf, roundClasses } from '../report/colour-classes.ts';
import { drawnWidth, keptColumns } from '../report/field-section.ts';
import { type YieldScale, yieldScale } from '../report/figures.ts';
import { mapBox } from '../report/map-frame.ts';
import { bushelOf, type ReportContext } from '../report/report-context.ts';

/** `system` is that of the reader, which may be another than the season's. */
export interface ReportMaterial extends ReportContext {
  /** By name of the field; fields without one are shown by their swaths. */
  readonly surfaces: ReadonlyMap<string, MappedSurface>;
  /** Of the season's sheet, as it was built: 64 hex digits. */
  readonly settings_sha256: string;
  readonly comparisons: readonly ReportComparison[];
}

/** What a comparison came to, in words and figures that are ready to be read. */
export interface ReportComparison {
  readonly field: string;
  readonly name: string;
  /** The answer in a sentence. */
  readonly finding: string;
  /** Heads of the table and its rows: a treatment each. */
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** One field, ready to be drawn. */
export interface ReportField {
  readonly summary: FieldSummary;
  /** Absent where no point of any log lies in it. */
  readonly points: FieldPoints | undefined;
  readonly outline: readonly Float64Array[];
  readonly surface: MappedSurface | undefined;
  readonly scale: YieldScale;
  /** Weight of the crop's bushel, kg; NaN where it has none. */
  readonly bushel_kg: number;
}

/** The fields of the season, in its order. */
export function reportFields(material: ReportMaterial): ReportField[] {
  const { result, surfaces, system } = material;
  return result.summary.fields.map((summary) => {
    const at = result.points.findIndex(({ field }) => field === summary.name);
    const bushel_kg = bushelOf(material, summary.crop);
    return {
      summary,
      points: result.points[at],
      outline: result.outlines[at] ?? [],
      surface: surfaces.get(summary.name),
      scale: yieldScale(system, bushel_kg),
      bushel_kg,
    };
  });
}

/** Shown yields and the ground that each stands for: of the surface's cells, else of the kept points. */
function shownGround({ points, surface, scale }: ReportField): {
  shown: Float64Array;
  weights: Float64Array;
} {
  if (surface !== undefined) {
    const shown = surface.yield_kg_m2.map((kg_m2) => scale.from(tHaFromKgM2(kg_m2)));
    return { shown, weights: shown.map((amount) => (Number.isFinite(amount) ? 1 : 0)) };
  }
  if (points === undefined) return { shown: new Float64Array(), weights: new Float64Array() };
  const { shown, area_m2 } = keptColumns(points, scale);
  return { shown, weights: area_m2 };
}

/** Classes of colour that fit all of `fields`, which are of one crop. */
export function sharedClasses(fields: readonly ReportField[]): Classes {
  const grounds = fields.map(shownGround);
  const size = grounds.reduce((sum, { shown }) => sum + shown.length, 0);
  const amounts = new Float64Array(size);
  const weights = new Float64Array(size);
  let at = 0;
  for (const [k, ground] of grounds.entries()) {
    amounts.set(ground.shown, at);
    // a field counts by its area, however its ground was cut up
    const total = ground.weights.reduce((sum, weight) => sum + weight, 0) || 1;
    weights.set(
      ground.weights.map((weight) => (weight / total) * fields[k].summary.area_ha),
      at,
    );
    at += ground.shown.length;
  }
  return roundClasses(amounts, weights);
}

/** How the field's ground is spread over classes: shares that add up to 1, or zeros where there is none. */
export function classShares(field: ReportField, classes: Classes): number[] {
  const { shown, weights } = shownGround(field);
  const shares = classes.colours.map(() => 0);
  let total = 0;
  for (const [k, amount] of shown.entries()) {
    const index = classOf(classes, amount);
    if (index < 0) continue;
    shares[index] += weights[k];
    total += weights[k];
  }
  return total > 0 ? shares.map((share) => share / total) : shares;
}

/** The field's map; `undefined` when no ground in it has a position. */
export function mapOfField(
  field: ReportField,
  classes: Classes,
  material: ReportMaterial,
): MapSubject | undefined {
  const { points, outline, surface, scale } = field;
  const box = points && mapBox(points, outline);
  if (points === undefined || box === undefined) return undefined;
  const widthOf = drawnWidth(material);
  const { shown } = shownGround(field);
  return {
    box,
    outline,
    plane: frameOfPoints(points),
    system: material.system,
    ground: (frame) =>
      surface === undefined
        ? swathShapes(points, { classes, scale }, (row) => widthOf(points, row), frame)
        : surfaceShapes({ ...surface, shown }, classes, frame, outline),
  };
}

/** Machines that cut in the field. */
export function machinesOf({ summary: { name } }: ReportField, { result }: ReportMaterial): string[] {
  return result.summary.mass_ledger.filter(({ field }) => field === name).map(({ machine }) => machine);
}

/** Seconds since 1970 of the last ground cut; 0 where none was. */
export function lastCut_unix_s(points: readonly FieldPoints[], epoch_utc_s: number): number {
  let last_s = Number.NEGATIVE_INFINITY;
  for (const { t_s, screened_by } of points)
    for (let row = 0; row < t_s.length; row++)
      if (screened_by[row] === 0) last_s = Math.max(last_s, t_s[row]);
  return Number.isFinite(last_s) ? epoch_utc_s + last_s : 0;
}
