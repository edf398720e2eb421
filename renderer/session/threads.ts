/** Threads of the mass ribbon and the points that they stand for. */
import { type FieldPoints, SCREENING_RULES } from '../../core/result.ts';
import type { ScreeningRule } from '../../core/season.ts';
import type { MassThread } from '../charts/types.ts';
import type { RowMask } from '../map/types.ts';
import type { Session } from './session.ts';
import { fieldIndexOf } from './session-state.ts';

/** The rule by which a thread's grain leaves the map; null for the grain on it. */
export function ruleOfThread(thread: MassThread | null): string | null {
  if (thread === null || thread === 'mapped') return null;
  return thread.startsWith('screened:') ? thread.slice('screened:'.length) : thread;
}

export function threadOfRule(rule: string): MassThread {
  return rule === 'not_cutting' || rule === 'outside_field' ? rule : `screened:${rule}`;
}

/** The points of a thread; null when it has none. */
export function rowsOfThread(points: FieldPoints, thread: MassThread): RowMask | null {
  const rule = ruleOfThread(thread);
  const reason = rule === null ? 0 : 1 + SCREENING_RULES.indexOf(rule as ScreeningRule);
  const mask = points.screened_by.map((caught) => (caught === reason ? 1 : 0));
  return mask.includes(1) ? mask : null;
}

/** Marks the thread, and selects its points on the map. */
export function chooseThread(session: Session, thread: MassThread | null): void {
  const points = session.state.built?.points.get(fieldIndexOf(session.state));
  const selection = thread === null || points === undefined ? null : rowsOfThread(points, thread);
  session.look({ thread, selection });
}
