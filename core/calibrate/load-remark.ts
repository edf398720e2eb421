import type { DeletionResidual } from './deletion-residual.ts';
import type { Load } from './load.ts';
import { findTicketMistake } from './ticket-mistakes.ts';
import { factorText, weightText } from './weight-text.ts';

/** Deviations within which a corrected weight is said to fit. */
const FITS_WITHIN = 2;

/** What the table of loads says of load `i` in plain words; empty for one that agrees and was left alone. */
export function loadRemark(
  loads: readonly Load[],
  byOthers: readonly DeletionResidual[],
  i: number,
  { flagged, choice }: { readonly flagged: boolean; readonly choice: boolean | undefined },
): string {
  const sentences: string[] = [];
  if (flagged) sentences.push(contradiction(loads[i], byOthers[i]), likelyCause(loads, byOthers, i));
  if (flagged && loads.length <= 3)
    sentences.push('With three loads, that the other two agree is all that speaks against it.');
  if (choice === false) sentences.push('Set aside in season.json.');
  else if (flagged && choice === true) sentences.push('Used, because season.json says so.');
  else if (flagged) sentences.push('Set aside until you decide.');
  return sentences.join(' ');
}

/** Before and after the name of the load whose ticket was exchanged with this one's. */
const EXCHANGED = [
  'Likely: its ticket and that of load ',
  ' were exchanged; the other way round both fit.',
] as const;

/** The load with whose ticket this one's was exchanged, by its remark; `undefined` when it speaks of none. */
export function exchangedWith(remark: string): string | undefined {
  const start = remark.indexOf(EXCHANGED[0]);
  const end = remark.indexOf(EXCHANGED[1], start);
  return start < 0 || end < 0 ? undefined : remark.slice(start + EXCHANGED[0].length, end);
}

function contradiction(load: Load, { expected_ratio }: DeletionResidual): string {
  const expected_kg = expected_ratio * load.x_kg;
  const off_pct = 100 * (load.scale_kg / expected_kg - 1);
  const size =
    load.scale_kg > 2 * expected_kg || load.scale_kg < expected_kg / 2
      ? `${factorText(load.scale_kg / expected_kg)} times what`
      : `${Math.abs(off_pct).toFixed(1)} % ${off_pct > 0 ? 'more' : 'less'} than`;
  return `The scale says ${weightText(load.scale_kg, load.tickets[0].written_in)}, ${size} the other loads expect.`;
}

function likelyCause(loads: readonly Load[], byOthers: readonly DeletionResidual[], i: number): string {
  const swappedWith = loads.find(
    (other, j) =>
      j !== i && fits(loads[i].scale_kg, other, byOthers[j]) && fits(other.scale_kg, loads[i], byOthers[i]),
  );
  if (swappedWith !== undefined) return `${EXCHANGED[0]}${swappedWith.ticket}${EXCHANGED[1]}`;
  const { tickets, scale_kg, x_kg } = loads[i];
  const { expected_ratio, deviation } = byOthers[i];
  const tolerance_kg = FITS_WITHIN * deviation * x_kg;
  const mistake = findTicketMistake(tickets, scale_kg, expected_ratio * x_kg, tolerance_kg);
  if (mistake === undefined) return 'Look at its weight, and whether its start and end times are right.';
  const which = tickets.length > 1 ? 'Perhaps on one of its tickets: ' : 'Perhaps ';
  return `${which}${mistake.text}.`;
}

function fits(mass_kg: number, load: Load, { expected_ratio, deviation }: DeletionResidual): boolean {
  return Math.abs(mass_kg / load.x_kg - expected_ratio) <= FITS_WITHIN * deviation;
}
