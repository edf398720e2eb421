/** From what a comparison's sheet says to its strips in the field's plane: each one experimental unit. */
import { failure, type Result, success } from '../../errors.ts';
import { timeFromIso } from '../../read/utc.ts';
import type { LocalFrame } from '../../track/local-frame.ts';
import { planeRings } from '../../track/plane-rings.ts';
import type { ComparisonSheet, TreatmentSpan } from './comparison-sheet.ts';
import { readTreatments, type TreatedPolygon } from './treatment-file.ts';

/** One strip: ground, or time of a machine. */
export interface TreatmentStrip {
  readonly treatment: string;
  /** Pair or block, where it was said. */
  readonly replicate: string | undefined;
  /** Closed rings in the plane, interleaved east, north, m; even–odd rule. */
  readonly rings?: readonly Float64Array[];
  /** Seconds from 1970, UTC. */
  readonly span?: { readonly machine: string | undefined; readonly from_s: number; readonly to_s: number };
}

/**
 * The strips of a comparison; `text` is that of its file. Polygons of one treatment and one replicate are one strip, cut in
 * two by a waterway perhaps; without a replicate each polygon is one. Fails as the file does, or with `no_treatment_file`.
 */
export function treatmentStrips(
  sheet: ComparisonSheet,
  frame: LocalFrame,
  text: string | undefined,
): Result<TreatmentStrip[]> {
  if (sheet.spans !== undefined) return success(sheet.spans.map(stripOfSpan));
  if (sheet.strips !== undefined) {
    const drawn = sheet.strips.map(({ treatment, replicate, rings }): TreatedPolygon => {
      const closed = rings.map((ring) => Float64Array.from([...ring, ring[0]].flat()));
      return { treatment, replicate, rings: closed };
    });
    return success(drawn.map((polygon) => stripOfPolygons([polygon], frame)));
  }
  if (sheet.file === undefined || text === undefined) {
    const path = sheet.file?.path ?? 'season.json';
    const said = `The file of treatments of comparison "${sheet.name}" could not be read (${path}).`;
    return failure({ code: 'no_treatment_file', source: path, text: said });
  }
  const read = readTreatments(text, sheet.file);
  if (!read.ok) return read;
  const groups = new Map<string, TreatedPolygon[]>();
  for (const [k, polygon] of read.value.entries()) {
    const { treatment, replicate } = polygon;
    const key = replicate === undefined ? String(k) : JSON.stringify([treatment, replicate]);
    groups.set(key, [...(groups.get(key) ?? []), polygon]);
  }
  const strips = [...groups.values()].map((group) => stripOfPolygons(group, frame));
  return success(strips, read.notices);
}

function stripOfPolygons(polygons: readonly TreatedPolygon[], frame: LocalFrame): TreatmentStrip {
  const [{ treatment, replicate }] = polygons;
  const rings = planeRings(
    polygons.flatMap((polygon) => [...polygon.rings]),
    frame,
  );
  return { treatment, replicate, rings };
}

function stripOfSpan({ treatment, replicate, machine, from, to }: TreatmentSpan): TreatmentStrip {
  const from_s = from === undefined ? Number.NEGATIVE_INFINITY : momentOf(from);
  const to_s = to === undefined ? Number.POSITIVE_INFINITY : momentOf(to);
  return { treatment, replicate, span: { machine, from_s, to_s } };
}

function momentOf(utc: string): number {
  return timeFromIso(utc)?.utc_s ?? Number.NaN;
}
