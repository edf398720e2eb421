/** What the beam check found: plain data for sheet, command and window. */
import type { CauseCode } from './causes.ts';

export type Verdict = 'good' | 'look' | 'mend';

/** Numbers to draw, x ascending; where several series stand in one picture they share its axes. */
export interface EvidenceSeries {
  readonly name: string;
  readonly kind: 'points' | 'line' | 'bars';
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** One picture. */
export interface Evidence {
  readonly title: string;
  readonly x_label: string;
  readonly y_label: string;
  readonly series: readonly EvidenceSeries[];
  /** Level lines, e.g. what geometry says. */
  readonly levels: readonly { readonly name: string; readonly y: number }[];
}

export interface Finding {
  /** Stable word, snake_case. */
  readonly code: string;
  readonly title: string;
  readonly verdict: Verdict;
  /** The figure that it rests on, in words. */
  readonly figure: string;
  readonly evidence: Evidence | undefined;
  /** Most likely first; empty where all is well. */
  readonly causes: readonly CauseCode[];
  /** One sentence; empty where nothing is to be done. */
  readonly todo: string;
}

/** What the log was too short or too bare to tell. */
export interface NotJudged {
  readonly code: string;
  readonly title: string;
  readonly why: string;
}

/** Part of a check. */
export interface Judged {
  readonly findings: readonly Finding[];
  readonly not_judged: readonly NotJudged[];
}

const RANK: Readonly<Record<Verdict, number>> = { good: 0, look: 1, mend: 2 };

export function graver(a: Verdict, b: Verdict): Verdict {
  return RANK[a] >= RANK[b] ? a : b;
}

/** `good` up to `look` (inclusive), then `look` up to `mend`, beyond that `mend`; of NaN, `look`. */
export function verdictBeyond(amount: number, look: number, mend: number): Verdict {
  if (amount <= look) return 'good';
  return amount > mend ? 'mend' : 'look';
}

/** At most this many points are kept of a series: a picture shows no more. */
const MOST_POINTS = 600;

/** Series for drawing, thinned evenly. */
export function seriesOf(
  name: string,
  kind: EvidenceSeries['kind'],
  x: ArrayLike<number>,
  y: ArrayLike<number>,
): EvidenceSeries {
  const stride = Math.max(1, Math.ceil(x.length / MOST_POINTS));
  const xs: number[] = [];
  const ys: number[] = [];
  for (let i = 0; i < x.length; i += stride) {
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i])) continue;
    xs.push(x[i]);
    ys.push(y[i]);
  }
  return { name, kind, x: xs, y: ys };
}
