/** As many notices as someone reads: a file with a hundred thousand faults has one fault. */
import type { Notice } from './errors.ts';

/** Notices of one code about one file that are told one by one. A choice of ours. */
const MOST_OF_A_KIND = 25;

/** The first notices of each code and source, in their order; then one for the rest of each, which holds their count. */
export function fewOfEach(notices: readonly Notice[]): Notice[] {
  const told = new Map<string, number>();
  const rest = new Map<string, { first: Notice; notices: number; count: number }>();
  const few = notices.filter((notice) => {
    const kind = `${notice.code} ${notice.source}`;
    const before = told.get(kind) ?? 0;
    told.set(kind, before + 1);
    if (before < MOST_OF_A_KIND) return true;
    const known = rest.get(kind);
    if (known) {
      known.notices++;
      known.count += notice.count;
    } else rest.set(kind, { first: notice, notices: 1, count: notice.count });
    return false;
  });
  for (const { first, notices: left, count } of rest.values()) few.push({ ...moreLike(first, left), count });
  return few;
}

/** That `left` more notices like one were found and are not told one by one. */
export function moreLike({ code, severity, source }: Omit<Notice, 'count' | 'text'>, left: number): Notice {
  const text = `${source}: ${left} more of this kind (${code}) were found and are not listed; mend those that are, and look again.`;
  return { code: 'more_of_a_kind', severity, source, count: left, text };
}
