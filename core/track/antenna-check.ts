/** Whether the antennas stand where the sheet says: what the passes show, told when it is significant and matters. */
import type { Notice } from '../errors.ts';
import type { AntennaSheet } from '../season.ts';
import type { AntennaEvidence } from './antenna-evidence.ts';
import { estimateOffsets, type OffsetError } from './antenna-fit.ts';

/** A machine's sheet, and what notices call it. */
export interface CheckedAntenna {
  readonly source: string;
  readonly antenna: AntennaSheet | undefined;
}

/** Smaller errors cost little: 0.2 m on a header of 9 m some 1.5 % of the area. Ours. */
const SIDEWAYS_MATTERS_M = 0.2;
/** Drivers raise a header up to 2 or 3 m later than they lower it, which looks like half as much. Common practice, no source. */
const AHEAD_MATTERS_M = 1.5;
/** An error is told when it is so many standard errors. */
const SIGNIFICANT = 5;
const FEWEST_PIECES = 8;

/** Notices on antennas, by machine as in `machines`, from the passes of every field. */
export function antennaNotices(
  machines: readonly (CheckedAntenna | undefined)[],
  fields: readonly AntennaEvidence[],
): Notice[] {
  const sideways = estimateOffsets(
    fields.flatMap((field) => field.sideways),
    machines.length,
    'free',
  );
  const ahead = estimateOffsets(
    fields.flatMap((field) => field.ahead),
    machines.length,
    'zero',
  );
  return machines.flatMap((checked, m) => {
    if (checked === undefined) return [];
    const notices: Notice[] = [];
    if (isTold(sideways[m], SIDEWAYS_MATTERS_M)) notices.push(sidewaysNotice(checked, sideways[m]));
    if (isTold(ahead[m], AHEAD_MATTERS_M)) notices.push(aheadNotice(checked, ahead[m]));
    return notices;
  });
}

function isTold({ error_m, se_m, count }: OffsetError, matters_m: number): boolean {
  return count >= FEWEST_PIECES && Math.abs(error_m) > Math.max(matters_m, SIGNIFICANT * se_m);
}

function sidewaysNotice({ source, antenna }: CheckedAntenna, { error_m, se_m, count }: OffsetError): Notice {
  const entered_m = antenna?.right_of_centre_m ?? 0;
  const true_m = entered_m + error_m;
  const text = `${source}: neighbouring passes driven opposite ways overlap and leave gaps in turn, ${(2 * Math.abs(error_m)).toFixed(1)} m too much and too little (${count} pairs of passes). By that the antenna is ${sideOf(true_m)} (± ${shown(se_m)} m), not ${antenna === undefined ? 'over the middle, as is taken where nothing is entered' : `${sideOf(entered_m)} as entered`}. Measure it and set "right_of_centre_m" to about ${signed(true_m, 1)}; as it is, area and yield are wrong.`;
  return { code: 'antenna_sideways', severity: 'look', source, count, text };
}

function aheadNotice({ source, antenna }: CheckedAntenna, { error_m, se_m, count }: OffsetError): Notice {
  const entered_m = antenna?.ahead_of_cut_m ?? 0;
  const true_m = entered_m + error_m;
  const text = `${source}: where passes end and their neighbours begin, the header rises and goes down ${(2 * Math.abs(error_m)).toFixed(1)} m apart along the way (${count} ends of passes). By that the antenna is ${placeOf(true_m)} (± ${shown(se_m)} m), not ${antenna === undefined ? 'above it, as is taken where nothing is entered' : `${placeOf(entered_m)} as entered`}, unless the header is raised much further behind the crop than it is lowered before it. Measure it and set "ahead_of_cut_m" to about ${signed(true_m, 1)}.`;
  return { code: 'antenna_ahead', severity: 'look', source, count, text };
}

function sideOf(right_m: number): string {
  if (Math.abs(right_m) < 0.05) return "over the header's middle";
  return `${Math.abs(right_m).toFixed(1)} m ${right_m > 0 ? 'right' : 'left'} of the header's middle`;
}

function placeOf(ahead_m: number): string {
  if (Math.abs(ahead_m) < 0.05) return 'above the cutting line';
  return `${Math.abs(ahead_m).toFixed(1)} m ${ahead_m > 0 ? 'ahead of' : 'behind'} the cutting line`;
}

function shown(se_m: number): string {
  return Math.max(0.1, se_m).toFixed(1);
}

/** A minus that JSON reads, and no −0. */
function signed(length_m: number, digits: number): string {
  return (Math.round(length_m * 10 ** digits) / 10 ** digits || 0).toFixed(digits);
}
