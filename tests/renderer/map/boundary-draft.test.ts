import { describe, expect, it } from 'vitest';
import {
  type BoundaryDraft,
  type DraftStep,
  draftOf,
  ringsSoFar,
  stepped,
} from '../../../renderer/map/boundary-draft.ts';

const TRIANGLE = [
  [10, 50],
  [11, 50],
  [11, 51],
] as const;

function following(draft: BoundaryDraft, ...steps: readonly DraftStep[]): BoundaryDraft {
  return steps.reduce(stepped, draft);
}

const add = (longitude_deg: number, latitude_deg: number): DraftStep => ({
  kind: 'add_corner',
  place: [longitude_deg, latitude_deg],
});

describe('a boundary while it is drawn', () => {
  it('begins with the outline, its closing corner taken off, or with a first ring', () => {
    expect(draftOf([[...TRIANGLE, TRIANGLE[0]]]).rings).toEqual([TRIANGLE]);
    expect(draftOf([[...TRIANGLE, TRIANGLE[0]]]).open).toBeNull();
    expect(draftOf([]).open).toEqual([]);
  });

  it('closes a ring of three corners and no fewer', () => {
    const two = following(draftOf([]), add(10, 50), add(11, 50), { kind: 'close_ring' });
    expect(two.open).toHaveLength(2);
    const three = following(two, add(11, 51), { kind: 'close_ring' });
    expect(three.rings).toEqual([TRIANGLE]);
    expect(three.open).toBeNull();
  });

  it('takes the last corner back, leaves a ring, and steps back through everything', () => {
    const drawn = following(
      draftOf([]),
      add(10, 50),
      add(12, 50),
      { kind: 'remove_last_corner' },
      add(11, 50),
    );
    expect(drawn.open).toEqual([
      [10, 50],
      [11, 50],
    ]);
    expect(following(drawn, { kind: 'leave_ring' }).open).toEqual([]);
    const back = following(drawn, ...Array<DraftStep>(9).fill({ kind: 'undo' }));
    expect(back).toEqual(draftOf([]));
  });

  it('moves, adds and removes corners; a drag is one step; the third last corner takes its ring along', () => {
    const begun = draftOf([TRIANGLE]);
    const at = { ring: 0, corner: 1 };
    const moved = following(
      begun,
      { kind: 'move_corner', at, place: [11, 50], isGoing: false },
      { kind: 'move_corner', at, place: [12, 50], isGoing: true },
      { kind: 'move_corner', at, place: [13, 50], isGoing: true },
    );
    expect(moved.rings[0][1]).toEqual([13, 50]);
    expect(stepped(moved, { kind: 'undo' })).toEqual(begun);
    const more = stepped(begun, { kind: 'insert_corner', at, place: [11.5, 50.5] });
    expect(more.rings[0]).toEqual([TRIANGLE[0], TRIANGLE[1], [11.5, 50.5], TRIANGLE[2]]);
    const fewer = stepped(more, { kind: 'remove_corner', at });
    expect(fewer.rings[0]).toHaveLength(3);
    expect(stepped(fewer, { kind: 'remove_corner', at })).toMatchObject({ rings: [], open: [] });
  });

  it('counts the ring that is being drawn as if it closed at the pointer', () => {
    const drawn = following(draftOf([]), add(10, 50), add(11, 50));
    expect(ringsSoFar(drawn, null)).toEqual([]);
    expect(ringsSoFar(drawn, [11, 51])).toEqual([TRIANGLE]);
  });
});
