import { describe, expect, it } from 'vitest';
import { applyEdit } from '../../../core/edits.ts';
import { type DrawnPlace, drawnArea_m2 } from '../../../core/track/drawn-boundary.ts';
import {
  draftRefusal,
  nextLabel,
  type StripDraft,
  type StripStep,
  sheetOfStrips,
  stripDraftOf,
  stripsAfter,
} from '../../../renderer/session/strip-draft.ts';
import { SEASON } from './stand-in-host.ts';

/** About 300 m by 9 m, along the parallel of 42°. */
const STRIP: readonly DrawnPlace[] = [
  [-95, 42],
  [-94.9964, 42],
  [-94.9964, 42.000081],
  [-95, 42.000081],
];

const taken = (draft: StripDraft, ...steps: readonly StripStep[]) => steps.reduce(stripsAfter, draft);
const drawn = (ring: readonly DrawnPlace[]): StripStep[] => [
  ...ring.map((place): StripStep => ({ kind: 'shape', step: { kind: 'add_corner', place } })),
  { kind: 'shape', step: { kind: 'close_ring' } },
];
const first = () => taken(stripDraftOf('Home', []), ...drawn(STRIP));

describe('strips while they are drawn', () => {
  it('get treatments in turn and a replicate when each was there once more', () => {
    const draft = taken(first(), { kind: 'repeat' }, { kind: 'repeat' }, { kind: 'repeat' });
    expect(draft.labels.map(({ treatment, replicate }) => treatment + replicate)).toEqual([
      'A1',
      'B1',
      'A2',
      'B2',
    ]);
    const named = [
      { treatment: 'none', replicate: '1' },
      { treatment: 'half', replicate: '1' },
      { treatment: 'full', replicate: '1' },
      { treatment: 'full', replicate: '2' },
    ];
    expect(nextLabel(named)).toEqual({ treatment: 'none', replicate: '2' });
  });

  it('are set side by side on one side, without gap or overlap, and as large as the first', () => {
    const { rings } = taken(first(), { kind: 'repeat' }, { kind: 'repeat' }).shapes;
    const areas = rings.map((ring) => drawnArea_m2([ring]));
    for (const area_m2 of areas) expect(Math.abs(area_m2 / areas[0] - 1)).toBeLessThan(1e-4);
    const lows = rings.map((ring) => Math.min(...ring.map(([, latitude]) => latitude)));
    const steps = [lows[1] - lows[0], lows[2] - lows[1]];
    for (const step of steps) expect(Math.abs(step)).toBeCloseTo(0.000081, 7);
    expect(Math.sign(steps[0])).toBe(Math.sign(steps[1]));
  });

  it('keep names with their strips when one is deleted, and give all back step by step', () => {
    const three = taken(first(), { kind: 'repeat' }, { kind: 'repeat' });
    const two = taken(three, { kind: 'shape', step: { kind: 'remove_ring', ring: 1 } });
    expect(two.labels.map(({ treatment, replicate }) => treatment + replicate)).toEqual(['A1', 'A2']);
    expect(two.shapes.rings).toEqual([three.shapes.rings[0], three.shapes.rings[2]]);
    expect(taken(two, { kind: 'undo' })).toBe(three);
    // a corner taken from a triangle takes the strip with it
    const triangle = taken(stripDraftOf('Home', []), ...drawn(STRIP.slice(0, 3)));
    const none = taken(triangle, {
      kind: 'shape',
      step: { kind: 'remove_corner', at: { ring: 0, corner: 0 } },
    });
    expect([none.labels, none.shapes.rings, none.chosen]).toEqual([[], [], null]);
    // a drag is one step
    const at = { ring: 0, corner: 0 };
    const dragged = taken(
      triangle,
      { kind: 'shape', step: { kind: 'move_corner', at, place: STRIP[0], isGoing: false } },
      { kind: 'shape', step: { kind: 'move_corner', at, place: [-95.001, 42], isGoing: true } },
      { kind: 'shape', step: { kind: 'move_corner', at, place: [-95.002, 42], isGoing: true } },
    );
    expect(taken(dragged, { kind: 'undo' }).shapes.rings).toEqual(triangle.shapes.rings);
  });

  it('say what is missing before they can be kept', () => {
    const empty = stripDraftOf('Home', ['Strips 2']);
    expect(empty.name).toBe('Strips 3');
    expect(draftRefusal(empty, [])).toMatch('Draw the first strip');
    const draft = first();
    expect(draftRefusal(draft, [])).toBeUndefined();
    expect(draftRefusal(draft, [draft.name])).toMatch('already');
    expect(draftRefusal({ ...draft, name: ' ' }, [])).toMatch('Name the comparison');
    const nameless = taken(draft, { kind: 'label', strip: 0, change: { treatment: ' ' } });
    expect(draftRefusal(nameless, [])).toMatch('strip 1');
    const crossed = taken(stripDraftOf('Home', []), ...drawn([STRIP[0], STRIP[2], STRIP[1], STRIP[3]]));
    expect(draftRefusal(crossed, [])).toMatch(/^Strip 1: The outline crosses itself/);
  });

  it('become a comparison that the season takes, and are taken up again from it', () => {
    const draft = taken(
      first(),
      { kind: 'repeat' },
      { kind: 'label', strip: 1, change: { treatment: 'sprayed ', replicate: '' } },
    );
    const sheet = sheetOfStrips(draft);
    expect(sheet.strips?.map(({ treatment, replicate }) => [treatment, replicate])).toEqual([
      ['A', '1'],
      ['sprayed', undefined],
    ]);
    const change = applyEdit(SEASON, { kind: 'set_comparison', comparison: { ...sheet, end_buffer_m: 5 } });
    if (!change.ok) throw new Error(change.error.text);
    const [held] = change.value.season.comparisons ?? [];
    const again = stripDraftOf('Home', [held.name], held);
    expect(again.isChange).toBe(true);
    expect(draftRefusal(again, [held.name])).toBeUndefined();
    expect(sheetOfStrips(again)).toEqual(held);
  });
});
