/** Notices for a reader with little room: of many alike, the first stands for all. */
import type { Notice } from './errors.ts';

/** So many of a kind may stand by themselves. */
const MOST_ALIKE = 2;

/** A notice, and how many like it are left to the full list. */
export interface GatheredNotice {
  readonly notice: Notice;
  readonly alike: number;
}

/**
 * The notices in their order; where more than two of the same code, severity and source were made, the first alone, with the
 * count of the others: sixteen tickets of a field that is not in the sheet are one thing to mend.
 */
export function gatheredNotices(notices: readonly Notice[]): GatheredNotice[] {
  const counts = new Map<string, number>();
  for (const notice of notices) counts.set(kindOf(notice), (counts.get(kindOf(notice)) ?? 0) + 1);
  const told = new Set<string>();
  return notices.flatMap((notice): GatheredNotice[] => {
    const kind = kindOf(notice);
    const count = counts.get(kind) ?? 0;
    if (count <= MOST_ALIKE) return [{ notice, alike: 0 }];
    if (told.has(kind)) return [];
    told.add(kind);
    return [{ notice, alike: count - 1 }];
  });
}

/** The sentence of the notice, and how many more there are of its kind. */
export function gatheredText({ notice, alike }: GatheredNotice): string {
  return alike === 0 ? notice.text : `${notice.text} (and ${alike} more of this kind)`;
}

function kindOf({ code, severity, source }: Notice): string {
  return JSON.stringify([code, severity, source]);
}
