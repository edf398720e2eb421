/** From what is selected to what can be left out by hand: ground that a line was drawn around, or a machine's time. */
import type { FieldPoints } from '../../core/result.ts';
import type { Exclusion, Season } from '../../core/season.ts';
import { lineAround, spanMask } from '../map/selections.ts';
import type { RowMask, TimeSpan } from '../map/types.ts';
import { machineName } from './season-figures.ts';

/** What would be left out, in the sheet's terms, and what the field would lose by it. */
export interface ExclusionOffer {
  /** One or, for points in several stretches of time, a few. */
  readonly exclusions: readonly Exclusion[];
  readonly words: string;
  /** Of these, points that are on the map now, and their grain. */
  readonly points: number;
  readonly mass_kg: number;
}

/** How the result tells its machines and its time. */
export interface ResultFrame {
  readonly machines: readonly string[];
  readonly epoch_utc_s: number;
}

/** More stretches of time than this are better told by a line around them. */
const MOST_STRETCHES = 12;

/**
 * What the selected rows come to: the line that was drawn around them where there is one, else each machine's stretches of
 * time. Null when nothing is selected; `exclusions` is empty where the rows lie in too many stretches.
 */
export function offerOfSelection(
  points: FieldPoints,
  selection: RowMask | null,
  frame: ResultFrame,
  season: Season,
): ExclusionOffer | null {
  if (selection === null || selection.length !== points.t_s.length || !selection.includes(1)) return null;
  const line = lineAround(selection);
  if (line !== undefined) {
    const exclusions = [{ field: points.field, around: line }];
    return { exclusions, words: 'the ground inside the line drawn', ...lossOf(points, selection) };
  }
  const stretches = stretchesOf(points, selection);
  const exclusions =
    stretches.length > MOST_STRETCHES ? [] : stretches.map((one) => inSheet(one, points, frame));
  return { exclusions, words: wordsOf(stretches, frame, season), ...lossOf(points, selection) };
}

/** What was cut in the field in a span of time chosen on the time line, whoever cut it. Null without a span or points in it. */
export function offerOfSpan(
  points: FieldPoints,
  span: TimeSpan | null,
  frame: ResultFrame,
): ExclusionOffer | null {
  if (span === null) return null;
  const mask = spanMask(points, span);
  if (!mask.includes(1)) return null;
  const exclusion = { field: points.field, ...isoSpan(span, frame) };
  return { exclusions: [exclusion], words: 'what was cut in the chosen time', ...lossOf(points, mask) };
}

/** One exclusion of the sheet in words. */
export function exclusionWords(exclusion: Exclusion, season: Season): string {
  const { field, machine, around, from, to, why } = exclusion;
  const what = around === undefined ? 'What was cut' : `Ground inside a line of ${around.length} corners`;
  const who = machine === undefined ? '' : ` by ${machineName(season, machine)}`;
  const where = field === undefined ? '' : ` in ${field}`;
  const when = from === undefined && to === undefined ? '' : `, ${moment(from)} to ${moment(to)}`;
  return `${what}${who}${where}${when}${why === undefined ? '' : ` (${why})`}`;
}

interface Stretch {
  readonly machine: number;
  readonly start_s: number;
  readonly end_s: number;
}

/** Stretches in which a machine's rows of the field are all selected. */
function stretchesOf({ machine, t_s }: FieldPoints, selection: RowMask): Stretch[] {
  const stretches: Stretch[] = [];
  const open = new Map<number, { machine: number; start_s: number; end_s: number }>();
  for (let row = 0; row < selection.length; row++) {
    const held = open.get(machine[row]);
    if (selection[row] === 0) open.delete(machine[row]);
    else if (held !== undefined) held.end_s = t_s[row];
    else {
      const begun = { machine: machine[row], start_s: t_s[row], end_s: t_s[row] };
      open.set(machine[row], begun);
      stretches.push(begun);
    }
  }
  return stretches;
}

function inSheet(stretch: Stretch, points: FieldPoints, frame: ResultFrame): Exclusion {
  return { field: points.field, machine: frame.machines[stretch.machine], ...isoSpan(stretch, frame) };
}

/** Whole milliseconds, one further out: Unix seconds hold no more than a quarter of a microsecond, and the ends are in it. */
function isoSpan({ start_s, end_s }: TimeSpan, { epoch_utc_s }: ResultFrame): { from: string; to: string } {
  return {
    from: new Date(Math.floor(1000 * (epoch_utc_s + start_s)) - 1).toISOString(),
    to: new Date(Math.ceil(1000 * (epoch_utc_s + end_s)) + 1).toISOString(),
  };
}

function wordsOf(stretches: readonly Stretch[], { machines }: ResultFrame, season: Season): string {
  const names = [...new Set(stretches.map(({ machine }) => machineName(season, machines[machine])))];
  const who = names.join(' and ');
  if (stretches.length === 1) return `what ${who} cut in one stretch of time`;
  return `what ${who} cut in ${stretches.length} stretches of time`;
}

function lossOf(
  { screened_by, mass_kg }: FieldPoints,
  mask: RowMask,
): Pick<ExclusionOffer, 'points' | 'mass_kg'> {
  let points = 0;
  let sum_kg = 0;
  for (let row = 0; row < mask.length; row++) {
    if (mask[row] === 0 || screened_by[row] !== 0) continue;
    points++;
    sum_kg += mass_kg[row];
  }
  return { points, mass_kg: sum_kg };
}

function moment(iso: string | undefined): string {
  return iso === undefined ? 'any time' : iso.slice(0, 19).replace('T', ' ');
}
