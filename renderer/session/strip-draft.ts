/** Strips of a comparison while they are drawn: their outlines as a boundary's rings, and what was done in each. */
import type { ComparisonSheet } from '../../core/analysis/comparison/comparison-sheet.ts';
import { type DrawnFault, type DrawnRing, drawnFault } from '../../core/track/drawn-boundary.ts';
import { type BoundaryDraft, type DraftStep, draftOf, stepped } from '../map/boundary-draft.ts';

export interface StripLabel {
  readonly treatment: string;
  /** Pair or block; empty: none. */
  readonly replicate: string;
}

export interface StripDraft {
  readonly name: string;
  readonly field: string;
  /** What the comparison says besides its strips. */
  readonly rest: Pick<ComparisonSheet, 'end_buffer_m' | 'side_buffer_m' | 'alpha_pct' | 'worthwhile_t_ha'>;
  /** Whether it takes the place of a comparison that is there. */
  readonly isChange: boolean;
  /** A ring a strip. */
  readonly shapes: BoundaryDraft;
  /** Of each ring. */
  readonly labels: readonly StripLabel[];
  /** The strip whose corners can be taken hold of. */
  readonly chosen: number | null;
  readonly past: readonly StripDraft[];
}

export type StripStep =
  | { readonly kind: 'shape'; readonly step: DraftStep }
  | { readonly kind: 'label'; readonly strip: number; readonly change: Partial<StripLabel> }
  | { readonly kind: 'name'; readonly name: string }
  | { readonly kind: 'choose'; readonly strip: number }
  /** One more like the last, on its far side. */
  | { readonly kind: 'repeat' }
  | { readonly kind: 'undo' };

/** Names of a first comparison; the user's own words take their place. */
export const FIRST_TREATMENTS = ['A', 'B'] as const;

export function stripDraftOf(
  field: string,
  names: readonly string[],
  comparison?: ComparisonSheet,
): StripDraft {
  const strips = comparison?.strips ?? [];
  const { end_buffer_m, side_buffer_m, alpha_pct, worthwhile_t_ha } = comparison ?? {};
  const said = Object.entries({ end_buffer_m, side_buffer_m, alpha_pct, worthwhile_t_ha });
  return {
    name: comparison?.name ?? freeName('Strips', names),
    field,
    rest: Object.fromEntries(said.filter(([, number]) => number !== undefined)),
    isChange: comparison !== undefined,
    shapes: draftOf(strips.map(({ rings }) => rings[0])),
    labels: strips.map(({ treatment, replicate }) => ({ treatment, replicate: replicate ?? '' })),
    chosen: null,
    past: [],
  };
}

/** Whether its strips can be changed on the map: each is one ring. */
export function isDrawable({ strips }: ComparisonSheet): boolean {
  return strips?.every(({ rings }) => rings.length === 1) ?? false;
}

export function stripsAfter(draft: StripDraft, step: StripStep): StripDraft {
  switch (step.kind) {
    case 'undo':
      return draft.past.at(-1) ?? draft;
    case 'name':
      return { ...draft, name: step.name };
    case 'choose':
      return { ...draft, chosen: step.strip };
    case 'label': {
      const labels = draft.labels.with(step.strip, { ...draft.labels[step.strip], ...step.change });
      return { ...draft, labels };
    }
    case 'repeat': {
      const last = draft.shapes.rings.at(-1);
      if (last === undefined || draft.shapes.open !== null) return draft;
      const shapes = {
        ...draft.shapes,
        rings: [...draft.shapes.rings, besideOf(last, draft.shapes.rings.at(-2))],
      };
      const labels = [...draft.labels, nextLabel(draft.labels)];
      return { ...draft, shapes, labels, chosen: labels.length - 1, past: [...draft.past, draft] };
    }
    case 'shape':
      return shaped(draft, step.step);
  }
}

function shaped(draft: StripDraft, step: DraftStep): StripDraft {
  if (step.kind === 'undo') return draft.past.at(-1) ?? draft;
  const before = draft.shapes;
  const after = stepped(before, step);
  if (after === before) return draft;
  // of the steps before, this draft keeps count itself
  const shapes = { ...after, past: [] };
  const past = step.kind === 'move_corner' && step.isGoing ? draft.past : [...draft.past, draft];
  const removed = removedRing(step, before.rings.length - after.rings.length);
  const labels =
    removed !== undefined
      ? draft.labels.toSpliced(removed, 1)
      : after.rings.length > before.rings.length
        ? [...draft.labels, nextLabel(draft.labels)]
        : draft.labels;
  const chosen = labels.length > draft.labels.length ? labels.length - 1 : draft.chosen;
  return { ...draft, shapes, labels, past, chosen: removed === undefined ? chosen : null };
}

function removedRing(step: DraftStep, fewer: number): number | undefined {
  if (fewer <= 0) return undefined;
  if (step.kind === 'remove_ring') return step.ring;
  return step.kind === 'remove_corner' ? step.at.ring : undefined;
}

/** Treatments in turn, as strips are mostly laid out; a replicate when every treatment was there once more. */
export function nextLabel(labels: readonly StripLabel[]): StripLabel {
  const named = [...new Set(labels.map(({ treatment }) => treatment).filter((name) => name !== ''))];
  const treatments = [...new Set([...named, ...FIRST_TREATMENTS.slice(named.length)])].slice(
    0,
    Math.max(named.length, FIRST_TREATMENTS.length),
  );
  const counts = treatments.map((name) => labels.filter(({ treatment }) => treatment === name).length);
  const fewest = Math.min(...counts);
  return { treatment: treatments[counts.indexOf(fewest)], replicate: String(fewest + 1) };
}

/**
 * The strip moved by its own width, across its longest side and away from the strip before it. Longitudes are scaled by the
 * latitude, so that across is across on the ground.
 */
function besideOf(ring: DrawnRing, earlier: DrawnRing | undefined): DrawnRing {
  const [, latitude_deg] = ring[0];
  const east_scale = Math.cos((latitude_deg * Math.PI) / 180);
  const flat = ring.map(([longitude, latitude]) => [
    (longitude - ring[0][0]) * east_scale,
    latitude - latitude_deg,
  ]);
  const sides = flat.map(([x, y], i) => {
    const [nextX, nextY] = flat[(i + 1) % flat.length];
    return { dx: nextX - x, dy: nextY - y, length: Math.hypot(nextX - x, nextY - y) };
  });
  const longest = sides.reduce((most, side) => (side.length > most.length ? side : most));
  const [acrossX, acrossY] = [-longest.dy / longest.length, longest.dx / longest.length];
  const across = flat.map(([x, y]) => x * acrossX + y * acrossY);
  const width = Math.max(...across) - Math.min(...across);
  const middle = (places: DrawnRing) =>
    places.reduce(
      (sum, [longitude, latitude]) =>
        sum +
        ((longitude - ring[0][0]) * east_scale * acrossX + (latitude - latitude_deg) * acrossY) /
          places.length,
      0,
    );
  const way = earlier !== undefined && middle(earlier) > middle(ring) ? -width : width;
  const round = (degrees: number) => Math.round(degrees * 1e8) / 1e8;
  return ring.map(([longitude, latitude]) => [
    round(longitude + (way * acrossX) / east_scale),
    round(latitude + way * acrossY),
  ]);
}

/** What stands against the strips, and at which: two edges of one that cross. */
export function stripFault({ shapes }: StripDraft): (DrawnFault & { readonly strip: number }) | undefined {
  for (const [strip, ring] of shapes.rings.entries()) {
    const fault = drawnFault([ring]);
    if (fault !== undefined) return { ...fault, strip };
  }
  return undefined;
}

/** Why the strips cannot be kept as they are; undefined: they can. */
export function draftRefusal(draft: StripDraft, names: readonly string[]): string | undefined {
  const { shapes, labels, name, isChange } = draft;
  if (shapes.rings.length === 0) return 'Draw the first strip on the map.';
  if (shapes.open !== null) return 'Close the strip that is being drawn, or leave it with Esc.';
  if (name.trim() === '') return 'Name the comparison.';
  if (!isChange && names.includes(name.trim()))
    return `There is a comparison ${name.trim()} already; choose another name.`;
  const unnamed = labels.findIndex(({ treatment }) => treatment.trim() === '');
  if (unnamed >= 0) return `Name what was done in strip ${unnamed + 1}.`;
  const fault = stripFault(draft);
  return fault === undefined ? undefined : `Strip ${fault.strip + 1}: ${fault.text}`;
}

export function sheetOfStrips({ name, field, rest, shapes, labels }: StripDraft): ComparisonSheet {
  return {
    name: name.trim(),
    field,
    ...rest,
    strips: shapes.rings.map((ring, k) => ({
      treatment: labels[k].treatment.trim(),
      ...(labels[k].replicate.trim() === '' ? {} : { replicate: labels[k].replicate.trim() }),
      rings: [ring],
    })),
  };
}

/** `Strips 2`: a name that no comparison has. */
export function freeName(word: string, names: readonly string[]): string {
  let count = names.length + 1;
  while (names.includes(`${word} ${count}`)) count++;
  return `${word} ${count}`;
}
