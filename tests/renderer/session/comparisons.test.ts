import { describe, expect, it } from 'vitest';
import { type HostClient, HostTrouble } from '../../../renderer/host-client/host-client.ts';
import { Comparisons } from '../../../renderer/session/comparisons.ts';
import { Session } from '../../../renderer/session/session.ts';
import { SEASON, standInHost } from './stand-in-host.ts';

const REPLY = { comparisons: [], refused: [], totals: [], margins: null, notices: [] };

async function comparisonsWith(answers: Readonly<Record<string, () => unknown>> = {}) {
  const { client } = standInHost();
  const asked: unknown[] = [];
  const call: HostClient['call'] = async (route, steps, ...body) => {
    if (route === 'readComparisons') asked.push(steps.season);
    const answer = answers[route] ?? (route === 'readComparisons' ? () => REPLY : undefined);
    return answer === undefined ? client.call(route, steps, ...body) : (answer() as never);
  };
  const session = new Session({ ...client, call });
  await session.openSample();
  return { comparisons: new Comparisons(session), session, asked };
}

describe('what compares', () => {
  it('is asked for once for each sheet and build, and the page stays', async () => {
    const { comparisons, asked } = await comparisonsWith();
    comparisons.turnTo('strips');
    await comparisons.open('key', 'r1', 'b1');
    await comparisons.open('key', 'r1', 'b1');
    expect(asked).toHaveLength(1);
    await comparisons.open('key', 'r2', 'b1');
    expect(asked).toHaveLength(2);
    expect(comparisons.state).toMatchObject({ page: 'strips', reply: REPLY, isAsking: false });
  });

  it('says why it could not be made, and a later answer takes that away', async () => {
    let isBuilt = false;
    const { comparisons } = await comparisonsWith({
      readComparisons: () => {
        if (isBuilt) return REPLY;
        throw new HostTrouble({ code: 'no_result', text: 'Not built yet.' }, 404);
      },
    });
    await comparisons.open('key', 'r1', 'b1');
    expect(comparisons.state).toMatchObject({ trouble: 'Not built yet.', isAsking: false, reply: null });
    isBuilt = true;
    await comparisons.open('key', 'r1', 'b2');
    expect(comparisons.state).toMatchObject({ trouble: null, reply: REPLY });
  });

  it('keeps drawn strips as a step of the history, and the drawing where they are refused', async () => {
    const { comparisons, session } = await comparisonsWith();
    await comparisons.open('key', 'r1', 'b1');
    comparisons.draw('Home');
    for (const place of [
      [-95, 42],
      [-94.99, 42],
      [-94.99, 42.001],
    ] as const)
      comparisons.step({ kind: 'shape', step: { kind: 'add_corner', place } });
    comparisons.step({ kind: 'shape', step: { kind: 'close_ring' } });
    await comparisons.keepDraft();
    expect(comparisons.state).toMatchObject({ draft: null, shown: 'Strips 1' });
    expect(session.state.season?.document.comparisons).toHaveLength(1);
    expect(session.state.season?.document.fields).toEqual(SEASON.fields);
    comparisons.draw('Nowhere');
    comparisons.step({ kind: 'name', name: 'Elsewhere' });
    await comparisons.keepDraft();
    expect(comparisons.state.draft?.name).toBe('Elsewhere');
    expect(session.state.season?.document.comparisons).toHaveLength(1);
    await comparisons.remove('Strips 1');
    expect(session.state.season?.document.comparisons ?? []).toEqual([]);
  });
});
