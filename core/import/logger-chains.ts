/** Log files that one logger wrote without stopping to count, or of which one holds the beam and the other the fixes. */
import { isSameCounter, type LogOutline, type LogStretch } from './log-outline.ts';

/** Files that belong to one machine, whichever that is; in time order. */
export interface LoggerChain {
  readonly logs: readonly LogOutline[];
  readonly first_utc_s: number;
  readonly last_utc_s: number;
}

/** Counters of a beam file and a fix file begin and end together to this share of their length. */
const TOGETHER = 0.9;

/** Groups the logs into chains, earliest first; chains without a known time come last. */
export function loggerChains(logs: readonly LogOutline[]): LoggerChain[] {
  const group = logs.map((_, i) => i);
  const rootOf = (i: number): number => (group[i] === i ? i : rootOf(group[i]));
  const join = (a: number, b: number) => {
    group[rootOf(b)] = rootOf(a);
  };
  for (let a = 0; a < logs.length; a++) {
    for (let b = a + 1; b < logs.length; b++) if (shareCounter(logs[a], logs[b])) join(a, b);
  }
  for (const [beam, fixes] of beamsWithFixes(logs)) join(beam, fixes);
  const members = new Map<number, LogOutline[]>();
  logs.forEach((log, i) => {
    const root = rootOf(i);
    members.set(root, [...(members.get(root) ?? []), log]);
  });
  return [...members.values()]
    .map((own) => {
      const sorted = own
        .map((log) => ({ log, first_utc_s: startOf(log, own), id: log.id }))
        .sort(byTime)
        .map(({ log }) => log);
      return {
        logs: sorted,
        first_utc_s: leastOf(own.map(({ first_utc_s }) => first_utc_s)),
        last_utc_s: -leastOf(own.map(({ last_utc_s }) => -last_utc_s)),
      };
    })
    .sort(byTime);
}

/** When a log begins: by its own fixes, else by those of another log of the chain that spans its counter. */
function startOf(log: LogOutline, chain: readonly LogOutline[]): number {
  const counter = log.stretches[0]?.counter;
  if (!Number.isNaN(log.first_utc_s) || counter === undefined) return log.first_utc_s;
  let best = { shared: 0, first_utc_s: Number.NaN };
  for (const other of chain) {
    for (const stretch of other.stretches) {
      const shared = sharedCounter(log.stretches[0], stretch);
      if (stretch.counter === undefined || !(shared > best.shared) || Number.isNaN(stretch.first_utc_s))
        continue;
      const after_s = (counter.first_us - stretch.counter.first_us) * 1e-6;
      best = { shared, first_utc_s: stretch.counter.first_utc_s + after_s };
    }
  }
  return best.first_utc_s;
}

/** Earlier first, unknown times last, then by name. */
export function byTime(
  a: { readonly first_utc_s: number; readonly id?: string },
  b: { readonly first_utc_s: number; readonly id?: string },
): number {
  const known = Number(Number.isNaN(a.first_utc_s)) - Number(Number.isNaN(b.first_utc_s));
  if (known !== 0) return known;
  return a.first_utc_s - b.first_utc_s || ((a.id ?? '') < (b.id ?? '') ? -1 : 1);
}

function shareCounter(a: LogOutline, b: LogOutline): boolean {
  return a.stretches.some((one) => b.stretches.some((other) => isSameCounter(one, other)));
}

/**
 * Beam files without fixes, each with the fix file whose counter spans most nearly the same: all counters begin near zero
 * after a restart, so that the lengths must tell, and the names where lengths are alike.
 */
function beamsWithFixes(logs: readonly LogOutline[]): [beam: number, fixes: number][] {
  const beams = logs.flatMap((log, i) => (log.kind === 'ticks' && log.hasGrain && !log.hasFixes ? [i] : []));
  const fixes = logs.flatMap((log, i) => (log.kind === 'ticks' && log.hasFixes && !log.hasGrain ? [i] : []));
  const pairs = beams.flatMap((beam) =>
    fixes.map((fix) => ({ beam, fix, score: pairScore(logs[beam], logs[fix]) })),
  );
  pairs.sort((a, b) => b.score - a.score);
  const taken = new Set<number>();
  const chosen: [number, number][] = [];
  for (const { beam, fix, score } of pairs) {
    if (score < TOGETHER || taken.has(beam) || taken.has(fix)) continue;
    taken.add(beam).add(fix);
    chosen.push([beam, fix]);
  }
  return chosen;
}

function pairScore(beam: LogOutline, fixes: LogOutline): number {
  const shared = Math.max(
    0,
    ...beam.stretches.flatMap((one) => fixes.stretches.map((other) => sharedCounter(one, other))),
  );
  return shared + 0.1 * nameLikeness(beam.id, fixes.id);
}

/** Share of two counter spans that both have, 0..1. */
function sharedCounter(a: LogStretch, b: LogStretch): number {
  if (a.counter === undefined || b.counter === undefined) return 0;
  const both_us =
    Math.min(a.counter.last_us, b.counter.last_us) - Math.max(a.counter.first_us, b.counter.first_us);
  const all_us =
    Math.max(a.counter.last_us, b.counter.last_us) - Math.min(a.counter.first_us, b.counter.first_us);
  return all_us > 0 ? Math.max(0, both_us / all_us) : 0;
}

/** Share of the longer name that both begin with. */
export function nameLikeness(a: string, b: string): number {
  let same = 0;
  while (same < a.length && same < b.length && a[same].toLowerCase() === b[same].toLowerCase()) same++;
  return same / Math.max(a.length, b.length, 1);
}

function leastOf(moments: readonly number[]): number {
  return moments.reduce(
    (least, moment) => (moment < least || Number.isNaN(least) ? moment : least),
    Number.NaN,
  );
}
