/**
 * Stretches in which no crop can be on the elevator: the header is up, or the machine stands, for longer than grain needs to
 * run out. They are the only places where the empty level can be read.
 */
import type { TimedFixes } from '../track/track.ts';
import type { EmptySpell } from './empty-level.ts';
import type { HeaderRecord } from './machine-record.ts';

/** Slower than this is standing, m/s; a receiver at rest reports a few cm/s. */
const STANDING_M_S = 0.2;
/** A spell must leave so much time after the clean-out to be worth reading, s. */
const READABLE_S = 6;
/** Fixes further apart than this leave the time between them unknown, s. */
const GAP_S = 5;
/** A log that is silent for longer may have missed the header going down, s. */
const SILENCE_S = 60;

/** Spells from `clean_out_s` after crop stopped coming to the moment it may come again. */
export function findEmptySpells(fixes: TimedFixes, header: HeaderRecord, clean_out_s: number): EmptySpell[] {
  const idle = [...headerUp(header, fixes), ...standing(fixes)].sort((a, b) => a.from_s - b.from_s);
  const joined: { from_s: number; to_s: number }[] = [];
  for (const stretch of idle) {
    const open = joined[joined.length - 1];
    if (open !== undefined && stretch.from_s <= open.to_s) open.to_s = Math.max(open.to_s, stretch.to_s);
    else joined.push({ ...stretch });
  }
  return joined
    .filter((stretch) => stretch.to_s - stretch.from_s >= clean_out_s + READABLE_S)
    .map((stretch) => ({ from_s: stretch.from_s + clean_out_s, to_s: stretch.to_s }));
}

/**
 * From each report of the header up to the next report, the log's next silence or its end. A switch that was never reported
 * down is stuck and says nothing.
 */
function headerUp(header: HeaderRecord, fixes: TimedFixes): EmptySpell[] {
  if (!header.up.includes(0)) return [];
  const silence_s = fixes.t_s.filter((t_s, i) => !(fixes.t_s[i + 1] - t_s <= SILENCE_S));
  const spells: EmptySpell[] = [];
  let next = 0;
  for (let i = 0; i < header.t_s.length; i++) {
    while (next < silence_s.length && !(silence_s[next] > header.t_s[i])) next++;
    if (header.up[i] !== 1 || next === silence_s.length) continue;
    const until_s = i + 1 < header.t_s.length ? header.t_s[i + 1] : Number.POSITIVE_INFINITY;
    spells.push({ from_s: header.t_s[i], to_s: Math.min(until_s, silence_s[next]) });
  }
  return spells;
}

function standing(fixes: TimedFixes): EmptySpell[] {
  const spells: EmptySpell[] = [];
  let from_s = Number.NaN;
  for (let i = 0; i < fixes.t_s.length; i++) {
    const still = fixes.speed_m_s[i] < STANDING_M_S;
    const broken = i > 0 && fixes.t_s[i] - fixes.t_s[i - 1] > GAP_S;
    if (!Number.isNaN(from_s) && (!still || broken)) {
      spells.push({ from_s, to_s: fixes.t_s[i - 1] });
      from_s = Number.NaN;
    }
    if (still && Number.isNaN(from_s)) from_s = fixes.t_s[i];
  }
  if (!Number.isNaN(from_s)) spells.push({ from_s, to_s: fixes.t_s[fixes.t_s.length - 1] });
  return spells;
}
