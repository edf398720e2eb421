/** What boundary files do to the fields of a season: new fields, boundaries for fields that had none, or nothing. */
import type { SingleEdit } from '../edits/season-edit.ts';
import type { Notice } from '../errors.ts';
import type { BoundaryPolygons } from '../read/boundaries.ts';
import type { FieldSheet, Season } from '../season.ts';
import { shownText } from '../shown-text.ts';
import { isInside, type Outline, outlineOf } from '../track/field-visits.ts';
import type { BoundedField } from './field-choice.ts';
import { type FieldOutline, outlineText } from './field-outlines.ts';
import type { ImportCandidate, SeasonFile, WrittenBoundary } from './import-plan.ts';

/** A field after boundary files have spoken, and which file bounds it. */
export interface PlannedField extends BoundedField {
  /** Id of a candidate or of a written boundary; undefined where the season's own stays. */
  readonly from: string | undefined;
  readonly crop: string | undefined;
  readonly isNew: boolean;
  /** Name of the season's field that it becomes, where an outline drawn around tracks gives way. */
  readonly was: string | undefined;
}

export interface BoundaryPlan {
  readonly fields: readonly PlannedField[];
  readonly written: readonly WrittenBoundary[];
  readonly notices: readonly Notice[];
  /** Fields by candidate's id. */
  readonly fieldsOf: ReadonlyMap<string, readonly string[]>;
}

export function planBoundaries(
  season: Season,
  listed: readonly SeasonFile[],
  candidates: readonly ImportCandidate[],
): BoundaryPlan {
  const fields: PlannedField[] = season.fields.map((sheet) => ({
    name: sheet.name,
    boundary: outlineIn(listed, sheet)?.boundary,
    from: undefined,
    crop: sheet.crop,
    isNew: false,
    was: sheet.name,
  }));
  const derived = new Set(
    season.fields.filter((sheet) => outlineIn(listed, sheet)?.derived).map(({ name }) => name),
  );
  const written: WrittenBoundary[] = [];
  const notices: Notice[] = [];
  const fieldsOf = new Map<string, string[]>();
  for (const { id, inspection } of candidates) {
    if (inspection.content.kind !== 'boundary') continue;
    const { outlines } = inspection.content;
    outlines.forEach((outline, k) => {
      const name = freshName(outline, inspection.name, k, outlines.length);
      const at = fieldOf(fields, derived, name, outline.boundary);
      const held = at < 0 ? undefined : fields[at];
      if (held?.boundary !== undefined && !derived.has(held.was ?? '')) {
        notices.push(boundaryKept(inspection.name, held.name));
        return;
      }
      const single = outlines.length === 1 && inspection.converted !== true;
      const from = single ? id : writtenId(name);
      if (!single) {
        const text = outlineText(name, outline.boundary, { source: inspection.name });
        written.push({ id: from, name: `${boundaryStem(name)}.geojson`, text, field: name });
      }
      const field: PlannedField = {
        name: held !== undefined && !isGuessed(season, held.was) ? held.name : name,
        boundary: outline.boundary,
        from,
        crop: held?.crop ?? outline.crop,
        isNew: held === undefined || held.isNew,
        was: held?.was,
      };
      if (at < 0) fields.push(field);
      else fields[at] = field;
      fieldsOf.set(id, [...(fieldsOf.get(id) ?? []), field.name]);
    });
  }
  return { fields, written, notices, fieldsOf };
}

/** Edits that give the season's fields their boundaries, and the sheets of new ones; `sheetOf` completes a new field. */
export function boundaryEdits(
  season: Season,
  fields: readonly PlannedField[],
  pathOf: (name: string) => string | undefined,
  sheetOf: (field: PlannedField, boundary: string) => FieldSheet,
): SingleEdit[] {
  return fields.flatMap((field): SingleEdit[] => {
    const boundary = field.from === undefined ? undefined : pathOf(field.from);
    if (boundary === undefined) return [];
    if (field.isNew) return [{ kind: 'add_field', field: sheetOf(field, boundary) }];
    const open = season.fields.find(({ name }) => name === field.was)?.unconfirmed ?? [];
    const left = open.filter((key) => key !== 'boundary' && (key !== 'name' || field.was === field.name));
    const renamed = field.was !== field.name ? { name: field.name } : {};
    const settled = open.length > left.length ? { unconfirmed: left.length > 0 ? left : null } : {};
    return [
      { kind: 'change_field', name: field.was ?? field.name, change: { boundary, ...renamed, ...settled } },
    ];
  });
}

function outlineIn(listed: readonly SeasonFile[], { boundary }: FieldSheet): FieldOutline | undefined {
  const content = listed.find(({ path }) => path === boundary)?.inspection.content;
  return content?.kind === 'boundary' ? content.outlines[0] : undefined;
}

/** The field of that name, or the one whose outline was drawn around tracks that run through this one; −1 for none. */
function fieldOf(
  fields: readonly PlannedField[],
  derived: ReadonlySet<string>,
  name: string,
  boundary: BoundaryPolygons,
): number {
  const byName = fields.findIndex((field) => field.name.toLowerCase() === name.toLowerCase());
  if (byName >= 0) return byName;
  const outline = outlineOf(boundary);
  return fields.findIndex((field) => {
    if (!derived.has(field.was ?? '') || field.from !== undefined || field.boundary === undefined)
      return false;
    const drawn = outlineOf(field.boundary);
    return holdsMiddle(outline, drawn) || holdsMiddle(drawn, outline);
  });
}

/** Whether the middle of `inner` lies in `outer`. */
function holdsMiddle(outer: Outline, inner: Outline): boolean {
  return isInside(outer, (inner.west + inner.east) / 2, (inner.south + inner.north) / 2);
}

function isGuessed(season: Season, name: string | undefined): boolean {
  return season.fields.find((field) => field.name === name)?.unconfirmed?.includes('name') ?? false;
}

/** The outline's own name, else the file's: `three-oaks.geojson` → Three Oaks. */
function freshName(outline: FieldOutline, file: string, index: number, count: number): string {
  if (outline.name !== undefined) return outline.name;
  const words = stemOf(file)
    .split(/[-_\s]+/)
    .filter((word) => word !== '')
    .map((word) => word.slice(0, 1).toUpperCase() + word.slice(1));
  const name = words.join(' ') || 'Field';
  return count > 1 ? `${name} ${index + 1}` : name;
}

/** Paths end in no such words. */
export function writtenId(field: string): string {
  return `outline of ${field}`;
}

/** `North Forty` → `north-forty`. */
export function boundaryStem(field: string): string {
  const stem = field
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-+|-+$/g, '');
  return stem === '' ? 'field' : stem.slice(0, 60);
}

/** File name without folders and endings. */
export function stemOf(file: string): string {
  const name = file.split(/[/\\]/).at(-1) ?? file;
  return name.replace(/(\.[A-Za-z0-9]{1,10}){1,2}$/, '') || name;
}

function boundaryKept(source: string, field: string): Notice {
  const text = `${shownText(source)}: ${shownText(field)} has a boundary already, which was kept; this one was copied in beside it and is not used.`;
  return { code: 'boundary_kept', severity: 'look', source, count: 1, text };
}
