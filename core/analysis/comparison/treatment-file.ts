/** Treatments from the polygons of a GeoJSON file: which property holds them, and what was done where. */
import { type DataError, failure, type Notice, type Result, success } from '../../errors.ts';
import { parseJsonValue } from '../../json-text.ts';
import { nearestWord } from '../../nearest-word.ts';
import { readBoundary } from '../../read/boundaries.ts';
import { shownNames, shownText } from '../../shown-text.ts';
import type { TreatmentFileSheet } from './comparison-sheet.ts';

/** A polygon with what its property says; rings interleaved longitude, latitude in degrees, closed, outer first. */
export interface TreatedPolygon {
  readonly treatment: string;
  readonly replicate: string | undefined;
  readonly rings: readonly Float64Array[];
}

/** What a file offers to choose from. */
export interface TreatmentChoices {
  readonly polygons: number;
  readonly properties: readonly TreatmentProperty[];
  /** `null` where no property looks like treatments. */
  readonly guess: {
    readonly treatment: string;
    readonly replicate: string | null;
    readonly reason: string;
  } | null;
}

export interface TreatmentProperty {
  readonly name: string;
  /** How many different entries it has, and some of them. */
  readonly different: number;
  readonly samples: readonly string[];
  /** Polygons that lack it. */
  readonly missing: number;
}

/** More polygons are a map of what was applied second by second, not strips. */
const MOST_POLYGONS = 2000;
/** A table of strips has a dozen. */
const MOST_PROPERTIES = 200;
const SAMPLES = 8;
/** Words that people head such columns with; common practice, no source. */
const TREATMENT_WORDS =
  /treat|trt|variet|hybrid|cultivar|product|rate|dose|seed|popul|nitro|fert|fung|herb|prod|strip.?type/i;
const REPLICATE_WORDS = /^rep|block|pair|replic|^blk/i;
const NUMBERING_WORDS = /^(fid|id|gid|oid|objectid|shape|area|acres|ha|length|perimeter|name|label)/i;

/** What can be chosen in a file. Fails like `readTreatments` where it holds no polygons. */
export function treatmentChoices(text: string, source: string): Result<TreatmentChoices> {
  const read = featuresOf(text, source);
  if (!read.ok) return read;
  const names = namesIn(read.value).slice(0, MOST_PROPERTIES);
  const properties = names.map((name): TreatmentProperty => {
    const entries = read.value.map((feature) => entryText(feature.properties[name]));
    const different = [...new Set(entries.filter((one) => one !== undefined))];
    return {
      name,
      different: different.length,
      samples: different.slice(0, SAMPLES).map((one) => shownText(one)),
      missing: entries.filter((one) => one === undefined).length,
    };
  });
  return success({ polygons: read.value.length, properties, guess: guessOf(properties, read.value.length) });
}

function guessOf(properties: readonly TreatmentProperty[], polygons: number): TreatmentChoices['guess'] {
  const repeats = ({ different, missing }: TreatmentProperty) =>
    missing === 0 && different >= 2 && different < polygons;
  const others = properties.filter((one) => repeats(one) && !REPLICATE_WORDS.test(one.name));
  const named = others.find(({ name }) => TREATMENT_WORDS.test(name));
  const best =
    named ??
    others.filter(({ name }) => !NUMBERING_WORDS.test(name)).sort((a, b) => a.different - b.different)[0];
  if (best === undefined) return null;
  const replicate = properties.find(
    ({ name, missing, different }) =>
      REPLICATE_WORDS.test(name) && missing === 0 && different >= 2 && name !== best.name,
  );
  const why =
    best === named
      ? `its name says so, and its ${best.different} entries repeat over ${polygons} polygons`
      : `its ${best.different} entries repeat over ${polygons} polygons, as treatments do`;
  const pairs = replicate === undefined ? '' : `; "${shownText(replicate.name)}" looks like pairs or blocks`;
  const reason = `"${shownText(best.name)}" looks like the treatment: ${why}${pairs}.`;
  return { treatment: best.name, replicate: replicate?.name ?? null, reason };
}

/**
 * The polygons of a file with their treatments. Parts of a MultiPolygon are polygons by themselves. Fails with `json_syntax`,
 * `not_geojson`, `no_polygon`, `too_many_polygons`, `no_such_property`, or a fault of a position.
 */
export function readTreatments(
  text: string,
  { path, treatment, replicate }: TreatmentFileSheet,
): Result<TreatedPolygon[]> {
  const read = featuresOf(text, path);
  if (!read.ok) return read;
  const known = namesIn(read.value);
  for (const name of [treatment, replicate])
    if (name !== undefined && !known.includes(name)) return failure(noSuchProperty(path, name, known));
  const notices: Notice[] = [];
  const polygons: TreatedPolygon[] = [];
  let without = 0;
  for (const { properties, geometry } of read.value) {
    const word = entryText(properties[treatment]);
    if (word === undefined) {
      without++;
      continue;
    }
    const outline = readBoundary(JSON.stringify({ type: 'Feature', properties: {}, geometry }), path);
    if (!outline.ok) return failure(outline.error, notices);
    notices.push(...outline.notices);
    const held = replicate === undefined ? undefined : entryText(properties[replicate]);
    for (const rings of outline.value.polygons) polygons.push({ treatment: word, replicate: held, rings });
  }
  if (polygons.length === 0) return failure(noEntry(path, treatment));
  if (without > 0) {
    const said = `${path}: ${without} polygon(s) have no "${shownText(treatment)}" and were left out.`;
    notices.push({ code: 'no_treatment', severity: 'look', source: path, count: without, text: said });
  }
  return success(polygons, notices);
}

interface Feature {
  readonly properties: Readonly<Record<string, unknown>>;
  readonly geometry: { readonly type: 'Polygon' | 'MultiPolygon' };
}

function namesIn(features: readonly Feature[]): string[] {
  return [...new Set(features.flatMap(({ properties }) => Object.keys(properties)))];
}

function featuresOf(text: string, source: string): Result<Feature[]> {
  const json = parseJsonValue(text, source);
  if (!json.ok) return failure(json.error);
  const root = json.value as Readonly<Record<string, unknown>> | null;
  const list =
    root?.type === 'FeatureCollection' ? root.features : root?.type === 'Feature' ? [root] : undefined;
  if (!Array.isArray(list)) {
    const said = `${source} is no GeoJSON of features; save the polygons of the treatments as a FeatureCollection.`;
    return failure({ code: 'not_geojson', source, text: said });
  }
  const features = list.flatMap((one): Feature[] => {
    const { properties, geometry } = (one ?? {}) as Partial<Feature>;
    const isPolygon = geometry?.type === 'Polygon' || geometry?.type === 'MultiPolygon';
    return isPolygon ? [{ properties: isRecord(properties) ? properties : {}, geometry }] : [];
  });
  if (features.length === 0) {
    const said = `${source} holds no polygon; a file of treatments needs the outline of each strip.`;
    return failure({ code: 'no_polygon', source, text: said });
  }
  if (features.length > MOST_POLYGONS) {
    const said = `${source} holds ${features.length} polygons, more than ${MOST_POLYGONS}: it looks like a map of single seconds; join them into strips of one treatment each first.`;
    return failure({ code: 'too_many_polygons', source, text: said });
  }
  return success(features);
}

function isRecord(held: unknown): held is Record<string, unknown> {
  return typeof held === 'object' && held !== null && !Array.isArray(held);
}

/** An entry as a word; `undefined` for none. */
function entryText(entry: unknown): string | undefined {
  if (typeof entry === 'number' || typeof entry === 'boolean') return String(entry);
  if (typeof entry !== 'string' || entry.trim() === '') return undefined;
  return entry.trim();
}

function noSuchProperty(source: string, name: string, known: readonly string[]): DataError {
  const near = nearestWord(name, known);
  const hint = near === undefined ? `it has ${shownNames(known)}` : `did you mean "${near}"`;
  const text = `${source} has no property "${shownText(name)}"; ${hint}${near === undefined ? '.' : '?'}`;
  return { code: 'no_such_property', source, text };
}

function noEntry(source: string, treatment: string): DataError {
  const text = `No polygon of ${source} has an entry under "${shownText(treatment)}"; choose another property.`;
  return { code: 'no_treatment', source, text };
}
