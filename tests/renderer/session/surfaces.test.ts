import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { Session } from '../../../renderer/session/session.ts';
import { Surfaces } from '../../../renderer/session/surfaces.ts';
import { standInHost } from './stand-in-host.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

async function opened() {
  const host = standInHost();
  const session = new Session(host.client);
  const opening = session.openSample();
  await vi.runAllTimersAsync();
  await opening;
  const surfaces = new Surfaces(session);
  const show = (sheet: SurfaceSheet) => surfaces.show({ season: 'key', build: 'job-1', place: 0, sheet });
  const made = () => host.called.filter((route) => route === 'makeSurface').length;
  return { session, surfaces, show, made };
}

describe('surfaces', () => {
  it('are made at once by the season’s own settings, and asked for once', async () => {
    const { surfaces, show, made } = await opened();
    show({});
    expect(surfaces.state.isMaking).toBe(true);
    await vi.advanceTimersByTimeAsync(0);
    show({ classes: { count: 3 } });
    await vi.advanceTimersByTimeAsync(1000);
    expect(made()).toBe(1);
    expect(surfaces.state).toMatchObject({ isMaking: false, surface: { field: 'Home', cell_m: 5 } });
    expect(surfaces.state.own).toBe(surfaces.state.surface);
  });

  it('that are tried wait until nothing newer is asked for; the kept one comes back when they are left', async () => {
    const { surfaces, show, made } = await opened();
    show({});
    await vi.advanceTimersByTimeAsync(0);
    for (const cell_m of [2, 20, 25]) {
      surfaces.try({ cell_m });
      show({ cell_m });
      await vi.advanceTimersByTimeAsync(100);
    }
    expect(made()).toBe(1);
    await vi.advanceTimersByTimeAsync(300);
    expect(made()).toBe(2);
    expect(surfaces.state).toMatchObject({
      draft: { cell_m: 25 },
      surface: { cell_m: 25 },
      own: { cell_m: 5 },
    });
    surfaces.leave();
    expect(surfaces.state).toMatchObject({ draft: null, surface: { cell_m: 5 } });
  });

  it('are kept as one change of the season', async () => {
    const { session, surfaces, show } = await opened();
    surfaces.try({ cell_m: 20 });
    surfaces.try({ neighbours: 16 });
    show({ cell_m: 20, neighbours: 16 });
    await vi.advanceTimersByTimeAsync(400);
    const keeping = surfaces.keep({ zones: { tolerance_m: 1 } });
    await vi.runAllTimersAsync();
    await keeping;
    expect(session.state.season?.document.settings?.surface).toEqual({
      cell_m: 20,
      neighbours: 16,
      zones: { tolerance_m: 1 },
    });
    expect(session.state.season?.history.at).toBe(1);
    expect(surfaces.state.draft).toBe(null);
  });

  it('are tried no more when they are what is kept again', async () => {
    const { surfaces } = await opened();
    surfaces.try({ cell_m: 20 });
    surfaces.try({ cell_m: null });
    expect(surfaces.state.draft).toBe(null);
  });

  it('that are tried are not carried over to another season', async () => {
    const { surfaces, show } = await opened();
    show({});
    surfaces.try({ cell_m: 20 });
    surfaces.show({ season: 'other', build: 'job-9', place: 0, sheet: { cell_m: 20 } });
    expect(surfaces.state).toMatchObject({ draft: null, surface: null });
  });

  it('can be stopped before they are there, and asked for again', async () => {
    const { surfaces, show, made } = await opened();
    surfaces.try({ cell_m: 20 });
    show({ cell_m: 20 });
    await surfaces.stop();
    await vi.advanceTimersByTimeAsync(1000);
    expect(surfaces.state).toMatchObject({ isMaking: false, isStopped: true, surface: null });
    expect(made()).toBe(0);
    surfaces.again({ season: 'key', build: 'job-1', place: 0, sheet: { cell_m: 20 } });
    await vi.advanceTimersByTimeAsync(1000);
    expect(surfaces.state).toMatchObject({ isStopped: false, surface: { cell_m: 20 } });
  });
});
