/** A boundary while it is drawn: closed rings, at most one ring that is still open, and what was before each step. */
import type { DrawnPlace, DrawnRing } from '../../core/track/drawn-boundary.ts';
import type { LonLatRing } from './types.ts';

export interface BoundaryDraft {
  readonly rings: readonly DrawnRing[];
  /** Corners of the ring that is being drawn; null when none is. */
  readonly open: readonly DrawnPlace[] | null;
  /** Earlier states, latest last. */
  readonly past: readonly BoundaryDraft[];
}

export interface CornerAt {
  readonly ring: number;
  readonly corner: number;
}

export type DraftStep =
  | { readonly kind: 'begin_ring' }
  | { readonly kind: 'add_corner'; readonly place: DrawnPlace }
  /** Of the ring that is being drawn. */
  | { readonly kind: 'remove_last_corner' }
  | { readonly kind: 'close_ring' }
  | { readonly kind: 'leave_ring' }
  /** `isGoing`: in the middle of a drag, which is one step in all. */
  | {
      readonly kind: 'move_corner';
      readonly at: CornerAt;
      readonly place: DrawnPlace;
      readonly isGoing: boolean;
    }
  /** After the corner `at`. */
  | { readonly kind: 'insert_corner'; readonly at: CornerAt; readonly place: DrawnPlace }
  | { readonly kind: 'remove_corner'; readonly at: CornerAt }
  | { readonly kind: 'remove_ring'; readonly ring: number }
  | { readonly kind: 'undo' };

const LEAST_CORNERS = 3;

/** The field's outline as it is; a field without one begins with its first ring. */
export function draftOf(outline: readonly LonLatRing[]): BoundaryDraft {
  const rings = outline.map(opened).filter((ring) => ring.length >= LEAST_CORNERS);
  return { rings, open: rings.length === 0 ? [] : null, past: [] };
}

/** The draft after a step; the same draft where the step means nothing. */
export function stepped(draft: BoundaryDraft, step: DraftStep): BoundaryDraft {
  const { rings, open } = draft;
  const to = (change: Partial<Pick<BoundaryDraft, 'rings' | 'open'>>): BoundaryDraft => ({
    ...draft,
    ...change,
    past: [...draft.past, draft],
  });
  switch (step.kind) {
    case 'begin_ring':
      return open === null ? to({ open: [] }) : draft;
    case 'add_corner':
      return open === null ? draft : to({ open: [...open, step.place] });
    case 'remove_last_corner':
      return open === null || open.length === 0 ? draft : to({ open: open.slice(0, -1) });
    case 'close_ring':
      return open === null || open.length < LEAST_CORNERS
        ? draft
        : to({ rings: [...rings, open], open: null });
    case 'leave_ring':
      return open === null || open.length + rings.length === 0
        ? draft
        : to({ open: rings.length === 0 ? [] : null });
    case 'move_corner': {
      const moved = withRing(rings, step.at.ring, (ring) => ring.with(step.at.corner, step.place));
      return step.isGoing ? { ...draft, rings: moved } : to({ rings: moved });
    }
    case 'insert_corner':
      return to({
        rings: withRing(rings, step.at.ring, (ring) => ring.toSpliced(step.at.corner + 1, 0, step.place)),
      });
    case 'remove_corner':
      if (rings[step.at.ring].length <= LEAST_CORNERS)
        return stepped(draft, { kind: 'remove_ring', ring: step.at.ring });
      return to({ rings: withRing(rings, step.at.ring, (ring) => ring.toSpliced(step.at.corner, 1)) });
    case 'remove_ring': {
      const left = rings.toSpliced(step.ring, 1);
      return to({ rings: left, open: left.length === 0 ? (open ?? []) : open });
    }
    case 'undo':
      return draft.past.at(-1) ?? draft;
  }
}

/** The rings with the one that is being drawn, as if it were closed at `pointer`: for the area shown live. */
export function ringsSoFar({ rings, open }: BoundaryDraft, pointer: DrawnPlace | null): readonly DrawnRing[] {
  if (open === null) return rings;
  const drawn = pointer && open.length > 0 ? [...open, pointer] : open;
  return drawn.length < LEAST_CORNERS ? rings : [...rings, drawn];
}

function withRing(
  rings: readonly DrawnRing[],
  place: number,
  change: (ring: DrawnPlace[]) => DrawnRing,
): readonly DrawnRing[] {
  return rings.with(place, change([...rings[place]]));
}

/** Without the first corner once more at the end. */
function opened(ring: LonLatRing): DrawnRing {
  const [first, last] = [ring[0], ring.at(-1)];
  const isClosed = ring.length > 1 && first[0] === last?.[0] && first[1] === last?.[1];
  return (isClosed ? ring.slice(0, -1) : ring).map(([longitude_deg, latitude_deg]) => [
    longitude_deg,
    latitude_deg,
  ]);
}
