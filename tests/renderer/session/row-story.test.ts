import { describe, expect, it } from 'vitest';
import { rowStory } from '../../../renderer/session/row-story.ts';
import type { Built } from '../../../renderer/session/session-state.ts';
import { fieldOf } from '../map/columns.ts';
import { summaryOf } from './stand-in-host.ts';

const LAG = {
  field: 'Home',
  machine: 'c1',
  transport_s: 9,
  mixing_s: 2,
  transport_se_s: 0.2,
  method: 'ends_of_passes',
  applied_s: 11.04,
  unsmear_noise_gain: null,
  neighbour_transport_s: null,
  curve: { ends_of_passes: null, neighbour_agreement: null },
};

describe('the story of a point', () => {
  it('names the lag of its machine in its field, and its ticket', () => {
    const reply = {
      machines: ['c0', 'c1'],
      loads: [{ ticket: '20417' }, { ticket: '20418' }],
      summary: { ...summaryOf(1), lags: [{ ...LAG, machine: 'c0', applied_s: 99 }, LAG] },
    };
    const built = { reply, points: new Map() } as unknown as Built;
    const columns = fieldOf(2, { machine: [1, 1], load: [1, -1] });
    expect(rowStory(built, columns, 0)).toEqual([
      'Grain taken back 11.0 s, to where it was cut.',
      'Weighed with the load of ticket 20418.',
    ]);
    expect(rowStory(built, columns, 1).at(-1)).toBe('In no weighed load.');
    expect(rowStory(null, columns, 0)).toEqual([]);
  });
});
