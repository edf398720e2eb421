/** Files whose content is there already: the same bytes, or a copy that was taken earlier, cut off or damaged on the way. */
import { contentKey } from '../read/repeated-tickets.ts';
import type { Ticket } from '../read/ticket.ts';
import { isSameCounter, type LogOutline, type LogStretch } from './log-outline.ts';
import type { TrackSamples } from './track-samples.ts';

/** A copy may lack or add a few lines at its ends and where it is damaged. */
const MORE = 1.02;
const SPARE_ROWS = 20;
/** Ends of copies of one run agree to this, s. */
const END_S = 1.5;
/** Samples of copies lie at the same place: 1e-6° is 0.1 m. */
const SAME_PLACE_DEG = 1e-6;
const FEWEST_SAMPLES = 5;

/** Whether everything in `part` is in `whole` as well, but for damaged lines. Files of different kinds never are. */
export function isContained(part: LogOutline, whole: LogOutline): boolean {
  if (part.kind !== whole.kind || part.stretches.length === 0) return false;
  return part.stretches.every((stretch) => whole.stretches.some((other) => isStretchIn(stretch, other)));
}

function isStretchIn(part: LogStretch, whole: LogStretch): boolean {
  if (!isWithin(part, whole)) return false;
  const kinds = ['edges', 'fixes', 'moisture', 'header', 'tilt', 'rows'] as const;
  // a kind of line that the whole has none of is content of its own
  return kinds.every(
    (kind) => part[kind] === 0 || (whole[kind] > 0 && part[kind] <= MORE * whole[kind] + SPARE_ROWS),
  );
}

/** Whether the part lies in the whole, on one counter or at the same places at the same times. */
function isWithin(part: LogStretch, whole: LogStretch): boolean {
  if (part.counter !== undefined && whole.counter !== undefined) {
    if (isSameCounter(part, whole)) {
      return (
        part.counter.first_utc_s >= whole.counter.first_utc_s - END_S &&
        part.counter.last_utc_s <= whole.counter.last_utc_s + END_S
      );
    }
    // counters that nothing lays on UTC: the very same microsecond at the beginning is no chance
    const timeless = Number.isNaN(part.counter.first_utc_s) && Number.isNaN(whole.counter.first_utc_s);
    return (
      timeless &&
      part.counter.first_us === whole.counter.first_us &&
      part.counter.last_us <= whole.counter.last_us + 2e6
    );
  }
  return isSameWay(part.samples, whole.samples);
}

/** Whether all samples of `part` stand in `whole` with the same place at the same time. */
function isSameWay(part: TrackSamples, whole: TrackSamples): boolean {
  const n = part.utc_s.length;
  if (n < FEWEST_SAMPLES) return false;
  const rowAt = new Map<number, number>();
  whole.utc_s.forEach((utc_s, i) => {
    rowAt.set(utc_s, i);
  });
  let same = 0;
  part.utc_s.forEach((utc_s, i) => {
    const row = rowAt.get(utc_s);
    if (row === undefined) return;
    const east = Math.abs(part.longitude_deg[i] - whole.longitude_deg[row]);
    const north = Math.abs(part.latitude_deg[i] - whole.latitude_deg[row]);
    if (east <= SAME_PLACE_DEG && north <= SAME_PLACE_DEG) same++;
  });
  // damage shifts which row stands for three seconds
  return same >= 0.9 * n;
}

/** How much is in a log, to choose between two copies that hold the same: more readable rows win. */
export function contentOf(log: LogOutline): number {
  return log.stretches.reduce(
    (sum, { edges, fixes, moisture, header, tilt, rows }) =>
      sum + edges + fixes + moisture + header + tilt + rows,
    0,
  );
}

/** Whether every ticket of `part` stands in `whole` as well. */
export function areTicketsContained(part: readonly Ticket[], whole: readonly Ticket[]): boolean {
  const known = new Set(whole.map(contentKey));
  return part.length > 0 && part.every((ticket) => known.has(contentKey(ticket)));
}
