import { describe, expect, it } from 'vitest';
import { Session } from '../../../renderer/session/session.ts';
import { standInHost } from './stand-in-host.ts';

const LAG_12 = { kind: 'set_lag', field: 'Home', change: { transport_s: 12 } } as const;
const LAG_13 = { kind: 'set_lag', field: 'Home', change: { transport_s: 13 } } as const;

async function opened() {
  const host = standInHost();
  const session = new Session(host.client);
  await session.openSample();
  return { host, session, kept: session.state.built };
}

/** Changes start builds that nobody waits for: until they have come in. */
async function settled(): Promise<void> {
  for (let i = 0; i < 20; i++) await Promise.resolve();
  await new Promise((done) => setTimeout(done, 0));
}

describe('a change that is tried', () => {
  it('is shown against what is kept, and makes nothing', async () => {
    const { session, kept } = await opened();
    await session.try(LAG_12);
    const { built, before, preview, season, view } = session.state;
    expect(preview).toMatchObject({ name: 'Lag set to 12.0 s in Home', edit: LAG_12 });
    expect(built?.reply.summary.fields[0].mass_std_kg).toBe(200_001);
    expect(built?.points.has(0)).toBe(true);
    expect(before?.summary).toBe(kept?.reply.summary);
    expect(view.compare).toBe('difference');
    expect(season?.history.entries).toHaveLength(1);
  });

  it('left, it leaves everything as it was', async () => {
    const { session, kept } = await opened();
    await session.try(LAG_12);
    await session.try(LAG_13);
    session.leavePreview();
    expect(session.state).toMatchObject({
      preview: null,
      tried: null,
      before: null,
      view: { compare: 'off' },
    });
    expect(session.state.built).toBe(kept);
  });

  it('kept, it is made by its name, and shown against what was before all trying', async () => {
    const { session, kept } = await opened();
    await session.try(LAG_12);
    await session.try(LAG_13);
    await session.keepPreview();
    await settled();
    const { season, preview, tried, before, built } = session.state;
    expect(season?.history).toMatchObject({ at: 1, entries: [{}, { name: 'Lag set to 13.0 s in Home' }] });
    expect([preview, tried]).toEqual([null, null]);
    expect(built?.reply.build).toBe('job-2');
    expect(before).toMatchObject({ change: 'Lag set to 13.0 s in Home', summary: kept?.reply.summary });
  });

  it('of many while one is worked out, only the newest is asked for', async () => {
    const { session, host } = await opened();
    const first = session.try(LAG_12);
    for (const transport_s of [12.1, 12.2, 12.3]) void session.try({ ...LAG_12, change: { transport_s } });
    await first;
    expect(host.called.filter((route) => route === 'preview')).toHaveLength(2);
    expect(session.state.preview?.name).toBe('Lag set to 12.3 s in Home');
  });

  it('is left when something else is changed or undone', async () => {
    const { session } = await opened();
    await session.try(LAG_12);
    await session.edit({ kind: 'set_rule', rule: 'ramp', change: { on: false } });
    await settled();
    expect(session.state.preview).toBeNull();
    expect(session.state.season?.history.entries.map(({ name }) => name)).toEqual([
      'Opened',
      'Rule "ramp" switched off',
    ]);
    expect(session.state.built?.reply.summary.fields[0].mass_std_kg).toBe(100_002);
  });

  it('that comes too late is not shown', async () => {
    const { session, kept } = await opened();
    const late = session.try(LAG_12);
    session.leavePreview();
    await late;
    expect(session.state.built).toBe(kept);
    expect(session.state.preview).toBeNull();
  });

  it('that the season refuses is said, and what is kept stays', async () => {
    const { session, kept } = await opened();
    await session.try({ kind: 'set_model', model: 'nonsense' as 'gain' });
    expect(session.state.trouble?.text).toContain('Not changed');
    expect(session.state.built).toBe(kept);
    expect(session.state.tried).toBeNull();
  });
});
