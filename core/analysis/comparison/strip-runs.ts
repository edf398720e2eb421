/** Spans of time as experimental units. */
import type { FieldPoints } from '../../result.ts';
import type { LeftOut, StripPoints } from './strip-points.ts';
import type { TreatmentStrip } from './treatment-strips.ts';

/**
 * Spells of one treatment by one machine with no other treatment between them are one unit: a rest in the middle of a variety
 * makes no second replicate of it.
 */
export function withRunsJoined(
  strips: readonly TreatmentStrip[],
  { strip, left_out }: StripPoints,
  { machine }: Pick<FieldPoints, 'machine'>,
): StripPoints & { readonly strips: readonly TreatmentStrip[] } {
  if (strips.every(({ span }) => span === undefined)) return { strips, strip, left_out };
  const joined: TreatmentStrip[] = [];
  const counts: LeftOut[] = [];
  const current = new Map<number, { readonly unit: number; readonly key: string }>();
  const held = new Map<string, number>();
  const units = strip.map((own, row) => {
    if (own < 0) return -1;
    const key = JSON.stringify([strips[own].treatment, strips[own].replicate]);
    const running = current.get(machine[row]);
    if (running?.key === key) return running.unit;
    const unit = joined.push(strips[own]) - 1;
    const place = JSON.stringify([own, machine[row]]);
    // counts of a span go to the first unit that it is part of
    counts.push(held.has(place) ? { ...NONE_LEFT_OUT } : left_out[own]);
    held.set(place, unit);
    current.set(machine[row], { unit, key });
    return unit;
  });
  const unused = strips.filter((_, k) => !strip.includes(k));
  return {
    strips: [...joined, ...unused],
    strip: units,
    left_out: [...counts, ...unused.map((one) => left_out[strips.indexOf(one)])],
  };
}

const NONE_LEFT_OUT = { screened: 0, straddling: 0, over_edge: 0, near_end: 0, near_side: 0 };
