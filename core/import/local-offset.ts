/** What to make of times that name no offset from UTC. */
import { TAKEN } from './column-guess.ts';
import type { PositionGuess } from './position-guess.ts';
import type { TimeGuess } from './time-guess.ts';

export interface LocalOffset {
  /** East of UTC; 0 where times are, or are taken to be, UTC. */
  readonly offset_s: number;
  /** A sentence where the table leaves it open. */
  readonly doubt?: string;
}

const S_PER_HOUR = 3600;
const DEG_PER_HOUR = 15;
/** Sun time from midnight to this is a time at which hardly anybody harvests. Ours. */
const NIGHT_ENDS_H = 6;
const SEEN_AT_NIGHT = 0.25;
const HARDLY_AT_NIGHT = 0.05;

/**
 * By the sun: read as UTC, do the rows fall into the hours before dawn, and read as local time not? Then they are local,
 * by the longitude's whole hour. Otherwise UTC, with a doubt where both are possible.
 */
export function localOffset(time: TimeGuess, position: PositionGuess): LocalOffset {
  if (time.guesses.length === 0 || time.zone === 'utc') return { offset_s: 0 };
  const placed = position.guesses.some(({ confidence }) => confidence >= TAKEN);
  if (!placed)
    return { offset_s: 0, doubt: 'the times do not say their offset from UTC and were read as UTC.' };
  const hours = Math.round(position.place.longitude_deg / DEG_PER_HOUR);
  if (hours === 0)
    return { offset_s: 0, doubt: 'the times do not say their offset from UTC and were read as UTC.' };
  const offset = `${hours < 0 ? '−' : '+'}${Math.abs(hours)} h`;
  const asUtc = nightShare(time.written_s, position.longitude_deg, 0);
  const asLocal = nightShare(time.written_s, position.longitude_deg, hours * S_PER_HOUR);
  if (asUtc >= SEEN_AT_NIGHT && asLocal <= HARDLY_AT_NIGHT) {
    const doubt = `the times do not say their offset from UTC; read as UTC the machine would have harvested before dawn, so that they were read as local time, ${offset} by longitude (an hour more in summer time).`;
    return { offset_s: hours * S_PER_HOUR, doubt };
  }
  return {
    offset_s: 0,
    doubt: `the times do not say their offset from UTC and were read as UTC; if they are local time there, set "utc_offset" in the mapping (about ${offset}).`,
  };
}

/** Share of the rows between midnight and dawn by the sun. */
function nightShare(written_s: Float64Array, longitude_deg: Float64Array, offset_s: number): number {
  let night = 0;
  let known = 0;
  written_s.forEach((written, i) => {
    const sun_h = (written - offset_s) / S_PER_HOUR + longitude_deg[i] / DEG_PER_HOUR;
    if (Number.isNaN(sun_h)) return;
    known++;
    if (((sun_h % 24) + 24) % 24 < NIGHT_ENDS_H) night++;
  });
  return known > 0 ? night / known : 0;
}
