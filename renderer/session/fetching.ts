/** What the session fetches piece by piece: the last result, the columns of its points, the outlines of its fields. */
import type { ResultReply, SeasonReply } from '../../core/host-contract.ts';
import type { HostClient } from '../host-client/host-client.ts';
import { fieldPointsFrom } from './field-points.ts';
import { ringsOf } from './outlines.ts';
import { fieldIndexOf, type SessionState } from './session-state.ts';

/** The state as it is when asked, and a way to change it. */
export interface StateAccess {
  readonly host: HostClient;
  readonly state: () => SessionState;
  readonly set: (change: Partial<SessionState>) => void;
}

/** Null when the season was not built since it was opened. */
export async function lastResult(host: HostClient, open: SeasonReply): Promise<ResultReply | null> {
  return open.last_build === null ? null : host.call('readResult', { season: open.season });
}

/** Columns of the field on the map first, then of the others. */
export async function fetchPoints({ host, state, set }: StateAccess): Promise<void> {
  const { built, season } = state();
  const shown = fieldIndexOf(state());
  if (built === null || season === null || shown < 0) return;
  const places = built.reply.points
    .map((_, i) => i)
    .sort((a, b) => Number(b === shown) - Number(a === shown));
  for (const place of places) {
    if (state().built?.points.has(place)) continue;
    const block = await host.readPoints(season.season, built.reply.build, place);
    const now = state().built;
    if (now === null || now.reply.build !== built.reply.build) return;
    set({ built: { ...now, points: new Map(now.points).set(place, fieldPointsFrom(block)) } });
  }
}

export async function fetchOutlines({ host, state, set }: StateAccess): Promise<void> {
  const { season } = state();
  for (const { boundary } of season?.document.fields ?? []) {
    if (season === null || boundary === undefined || state().outlines.has(boundary)) continue;
    const rings = ringsOf(await host.readText(season.season, boundary));
    set({ outlines: new Map(state().outlines).set(boundary, rings) });
  }
}
