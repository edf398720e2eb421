/** The session in React: one store, read by whoever shows a part of it. */
import { createContext, useContext, useSyncExternalStore } from 'react';
import type { Session } from './session.ts';
import type { SessionState } from './session-state.ts';

export const SessionContext = createContext<Session | null>(null);

/** Throws RangeError outside of a window that has a session. */
export function useSession(): Session {
  const session = useContext(SessionContext);
  if (session === null) throw new RangeError('a part of the window stands outside its session');
  return session;
}

export function useSessionState(): SessionState {
  const session = useSession();
  return useSyncExternalStore(session.subscribe, () => session.state);
}

/** Row under the pointer, of the field on the map. */
export function useHoverRow(): number | null {
  const session = useSession();
  return useSyncExternalStore(session.subscribeToHover, () => session.hoverRow);
}
