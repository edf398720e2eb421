/**
 * The timeline's axis: hours of work laid end to end. Nights and days off shrink to a narrow break, so that a season fits
 * beside a minute. `u` counts seconds of work from the first one; breaks have a small fixed length.
 */

/** Silences longer than this are breaks, s. */
const BREAK_S = 1200;
/** Length of a break as a share of all work. */
const BREAK_SHARE = 0.006;

export interface WorkSpell {
  readonly start_s: number;
  readonly end_s: number;
  /** Where the spell begins on the axis. */
  readonly u: number;
}

export interface TimeAxis {
  readonly spells: readonly WorkSpell[];
  /** Length of the whole axis. */
  readonly length: number;
}

/** Axis over columns of times, each ascending. */
export function timeAxis(columns: readonly Float64Array[]): TimeAxis {
  const spans = columns.flatMap(spellsIn).sort((a, b) => a[0] - b[0]);
  const joined: [number, number][] = [];
  for (const [start_s, end_s] of spans) {
    const last = joined.at(-1);
    if (last && start_s - last[1] <= BREAK_S) last[1] = Math.max(last[1], end_s);
    else joined.push([start_s, end_s]);
  }
  const work_s = joined.reduce((sum, [start_s, end_s]) => sum + end_s - start_s, 0);
  const gap = BREAK_SHARE * work_s;
  let u = 0;
  const spells = joined.map(([start_s, end_s]) => {
    const spell = { start_s, end_s, u };
    u += end_s - start_s + gap;
    return spell;
  });
  return { spells, length: Math.max(u - gap, 1) };
}

/** Place on the axis of a moment; a moment in a break lies in proportion within it. */
export function placeOfTime({ spells }: TimeAxis, t_s: number): number {
  if (spells.length === 0) return 0;
  const at = spellBefore(spells, (spell) => spell.start_s <= t_s);
  if (at < 0) return t_s - spells[0].start_s;
  const spell = spells[at];
  const next = spells[at + 1];
  if (t_s <= spell.end_s || !next) return spell.u + t_s - spell.start_s;
  const end = spell.u + spell.end_s - spell.start_s;
  return end + ((t_s - spell.end_s) / (next.start_s - spell.end_s)) * (next.u - end);
}

/** Moment at a place of the axis: the other way round. */
export function timeAtPlace({ spells }: TimeAxis, u: number): number {
  if (spells.length === 0) return 0;
  const at = Math.max(
    spellBefore(spells, (spell) => spell.u <= u),
    0,
  );
  const spell = spells[at];
  const next = spells[at + 1];
  const end = spell.u + spell.end_s - spell.start_s;
  if (u <= end || !next) return spell.start_s + u - spell.u;
  return spell.end_s + ((u - end) / (next.u - end)) * (next.start_s - spell.end_s);
}

export interface AxisTick {
  readonly u: number;
  readonly text: string;
  /** A tick with a date begins a spell. */
  readonly kind: 'day' | 'clock';
}

const STEPS_S = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600];
const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** Ticks of the part from `u0` to `u1`, at least `least_u` apart: days where spells begin, then times of day (UTC). */
export function axisTicks(
  axis: TimeAxis,
  epoch_utc_s: number,
  view: { readonly u0: number; readonly u1: number; readonly least_u: number },
): AxisTick[] {
  const { u0, u1, least_u } = view;
  const ticks: AxisTick[] = [];
  let free = -Infinity;
  let lastDay = '';
  const step_s = STEPS_S.find((step) => step >= least_u) ?? 21_600;
  for (const spell of axis.spells) {
    const end = spell.u + spell.end_s - spell.start_s;
    if (end < u0 || spell.u > u1) continue;
    const from = Math.max(spell.u, u0);
    const day = dayOf(epoch_utc_s + timeAtPlace(axis, from));
    if (day !== lastDay) {
      // The day matters more than the last times of the day before.
      while (ticks.length > 0 && from - ticks[ticks.length - 1].u < least_u * 0.8) ticks.pop();
      ticks.push({ u: from, text: day, kind: 'day' });
      free = from + least_u;
      lastDay = day;
    }
    const first = Math.ceil((epoch_utc_s + timeAtPlace(axis, from)) / step_s) * step_s;
    for (let utc_s = first; ; utc_s += step_s) {
      const u = spell.u + utc_s - epoch_utc_s - spell.start_s;
      if (u > Math.min(end, u1) + 1e-6) break;
      if (u < free) continue;
      ticks.push({ u, text: clockText(utc_s, step_s), kind: 'clock' });
      free = u + least_u * 0.8;
    }
  }
  return ticks;
}

/** `14:03`, or `14:03:20` where steps are shorter than a minute. */
export function clockText(utc_s: number, step_s: number): string {
  return new Date(1000 * utc_s).toISOString().slice(11, step_s < 60 ? 19 : 16);
}

/** `3 Oct` */
export function dayOf(utc_s: number): string {
  const date = new Date(1000 * utc_s);
  return `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}`;
}

function spellsIn(t_s: Float64Array): [number, number][] {
  const spells: [number, number][] = [];
  let last = Number.NaN;
  for (let i = 0; i < t_s.length; i++) {
    const now = t_s[i];
    if (Number.isNaN(now)) continue;
    if (now - last <= BREAK_S) spells[spells.length - 1][1] = now;
    else spells.push([now, now]);
    last = now;
  }
  return spells;
}

/** Index of the last spell for which `isBefore` holds; −1 when it holds for none. */
function spellBefore(spells: readonly WorkSpell[], isBefore: (spell: WorkSpell) => boolean): number {
  let low = 0;
  let high = spells.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isBefore(spells[middle])) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
