import { describe, expect, it } from 'vitest';
import { Session } from '../../../renderer/session/session.ts';
import { unitsOf } from '../../../renderer/session/session-state.ts';
import { standInHost } from './stand-in-host.ts';

async function opened() {
  const host = standInHost();
  const seasons: (string | null)[] = [];
  const session = new Session(host.client, { onSeason: (season) => seasons.push(season) });
  await session.openSample();
  return { host, session, seasons };
}

/** Changes start builds that nobody waits for: until they have come in. */
async function settled(): Promise<void> {
  for (let i = 0; i < 20; i++) await Promise.resolve();
  await new Promise((done) => setTimeout(done, 0));
}

describe('session: opening', () => {
  it('shows the home when there is no season to go back to', async () => {
    const { client } = standInHost();
    const session = new Session(client);
    await session.start(null);
    expect(session.state).toMatchObject({ phase: 'home', home: { folder: '/seasons' } });
  });

  it('opens the season of before a reload again', async () => {
    const { client } = standInHost();
    const session = new Session(client);
    await session.start('key');
    expect(session.state).toMatchObject({ phase: 'season', season: { season: 'key' } });
  });

  it('builds a season that has no result yet, and fetches the columns of every field', async () => {
    const { session, host, seasons } = await opened();
    expect(host.called.filter((route) => route === 'build')).toHaveLength(1);
    expect([...(session.state.built?.points.keys() ?? [])]).toEqual([0, 1]);
    expect(session.state.built?.points.get(1)?.field).toBe('Far');
    expect(seasons).toEqual(['key']);
  });
});

describe('session: changes', () => {
  it('a change is an edit that stands in the history, and is shown against what was before', async () => {
    const { session } = await opened();
    await session.edit({ kind: 'set_lag', field: 'Home', change: { transport_s: 12 } });
    await settled();
    const { season, before, built } = session.state;
    expect(season?.history).toMatchObject({ at: 1, entries: [{}, { name: 'Lag set to 12.0 s in Home' }] });
    expect(before?.change).toBe('Lag set to 12.0 s in Home');
    expect(built?.reply.summary.fields[0].mass_std_kg).toBe(100_002);
    expect(before?.summary.fields[0].mass_std_kg).toBe(100_001);
  });

  it('undo and redo go through the host, and to any entry of the history', async () => {
    const { session } = await opened();
    await session.edit({ kind: 'set_lag', change: { transport_s: 12 } });
    await session.edit({ kind: 'set_rule', rule: 'ramp', change: { on: false } });
    await session.undo();
    expect(session.state.season?.document.settings?.screening).toBeUndefined();
    await session.redo();
    expect(session.state.season?.document.settings?.screening).toEqual({ ramp: { on: false } });
    await session.goTo(0);
    expect(session.state.season?.document.settings).toBeUndefined();
    expect(session.state.season?.history.at).toBe(0);
    await session.goTo(2);
    expect(session.state.season?.history.at).toBe(2);
  });

  it('an undone change is called so', async () => {
    const { session } = await opened();
    await session.edit({ kind: 'set_lag', field: 'Home', change: { transport_s: 12 } });
    await settled();
    await session.undo();
    await settled();
    expect(session.state.before?.change).toBe('Undone: Lag set to 12.0 s in Home');
  });

  it('units change at once, and without a build', async () => {
    const { session, host } = await opened();
    const changing = session.setUnits('metric');
    expect(unitsOf(session.state)).toBe('metric');
    await changing;
    await settled();
    expect(session.state.season?.document.units).toBe('metric');
    expect(host.called.filter((route) => route === 'build')).toHaveLength(1);
  });

  it('changes asked for at once follow one another', async () => {
    const { session } = await opened();
    await Promise.all([
      session.edit({ kind: 'set_lag', change: { transport_s: 11 } }),
      session.edit({ kind: 'set_lag', change: { transport_s: 12 } }),
    ]);
    expect(session.state.trouble).toBeNull();
    expect(session.state.season?.document.settings?.lags).toEqual([{ transport_s: 12 }]);
  });

  it('a refused edit changes nothing and says why', async () => {
    const { session } = await opened();
    await session.edit({ kind: 'remove_machine', id: 'c9' });
    expect(session.state.trouble?.text).toMatch(/^The season has no machine "c9"/);
    expect(session.state.season?.history.at).toBe(0);
  });

  it('an edit on a season that someone else has changed is not made; the season is read again', async () => {
    const { session, host } = await opened();
    host.changeBehindBack({ kind: 'rename_season', name: 'Theirs' });
    await session.edit({ kind: 'set_lag', change: { transport_s: 12 } });
    expect(session.state.trouble?.code).toBe('stale_revision');
    expect(session.state.season?.document).toMatchObject({ name: 'Theirs' });
    expect(session.state.season?.document.settings).toBeUndefined();
  });
});

describe('session: view', () => {
  it('another field begins without the selection of the one before', async () => {
    const { session } = await opened();
    session.look({ selection: new Uint8Array(2), span: { start_s: 1, end_s: 2 } });
    session.look({ field: 'Far' });
    expect(session.state.view).toMatchObject({ field: 'Far', selection: null, span: null });
  });

  it('tells listeners until they end it', async () => {
    const { session } = await opened();
    let told = 0;
    const end = session.subscribe(() => told++);
    session.look({ stage: 'lag' });
    end();
    session.look({ stage: 'loads' });
    expect(told).toBe(1);
  });
});
