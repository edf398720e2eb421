/** What spoils the events of a first session: a line that opens, sparks and chaff, positions that are off. */
import type { SessionEvent, SessionMachine } from './first-session.ts';
import { sentence } from './nmea-sentence.ts';
import type { Random } from './random.ts';

/** Place → added length, one place changed. */
export function withPlace(machine: SessionMachine, place: number, add_mm: number): SessionMachine {
  return {
    ...machine,
    added_mm: new Map([...machine.added_mm, [place, (machine.added_mm.get(place) ?? 0) + add_mm]]),
  };
}

/** Opens the line to the sensor for spells; what it shows meanwhile is `held`. */
export function opened(
  edges: readonly SessionEvent[],
  spells: readonly (readonly [number, number])[],
  held: '0' | '1',
): SessionEvent[] {
  const kept: SessionEvent[] = [];
  let state = '0';
  let shown = '0';
  let s = 0;
  const show = (t_s: number, payload: string) => {
    if (payload !== shown) kept.push({ t_s, payload });
    shown = payload;
  };
  const pass = (until_s: number) => {
    while (s < spells.length && spells[s][1] <= until_s) {
      show(spells[s][0], held);
      show(spells[s][1], state);
      s++;
    }
  };
  for (const { t_s, payload } of edges) {
    pass(t_s);
    const isOpen = s < spells.length && t_s >= spells[s][0];
    if (isOpen) show(spells[s][0], held);
    state = payload;
    if (!isOpen) show(t_s, payload);
  }
  return kept;
}

export function spellsWithin(
  random: Random,
  count: number,
  from_s: number,
  to_s: number,
  shortest_s: number,
  longest_s: number,
) {
  const starts = Array.from(
    { length: count },
    (_, k) => from_s + ((k + 0.9 * random.uniform()) * (to_s - from_s)) / count,
  );
  return starts.map(
    (start) =>
      [
        start,
        start +
          random.between(shortest_s, Math.min(longest_s, (0.08 * (to_s - from_s)) / count + longest_s / 2)),
      ] as const,
  );
}

/** Pulses of sparks or chaff: the opposite state for a fraction of a millisecond. */
export function flickers(
  edges: readonly SessionEvent[],
  moments: readonly number[],
  random: Random,
): SessionEvent[] {
  const out = [...edges];
  for (const t_s of moments) {
    const after = edges.findIndex((edge) => edge.t_s > t_s);
    if (after < 0) continue;
    const state = after > 0 ? edges[after - 1].payload : '0';
    const length_s = random.between(0.00005, 0.0008);
    if (edges[after].t_s - t_s < length_s + 2e-4 || (after > 0 && t_s - edges[after - 1].t_s < 2e-4))
      continue;
    out.push({ t_s, payload: state === '1' ? '0' : '1' }, { t_s: t_s + length_s, payload: state });
  }
  return out;
}

/** A GGA or RMC sentence moved by metres. */
export function shifted(text: string, by_m: number, direction: number): string {
  const cells = text.slice(1, text.indexOf('*')).split(',');
  const at = cells[0] === 'GPGGA' ? 2 : 3;
  if (cells[at] === '' || cells[0] === 'GPVTG') return text;
  cells[at] = moved(cells[at], 2, (by_m * Math.cos(direction)) / 111_200);
  cells[at + 2] = moved(cells[at + 2], 3, (by_m * Math.sin(direction)) / 83_000);
  return sentence(cells.join(','));
}

function moved(cell: string, digits: number, by_deg: number): string {
  const minutes = Number(cell.slice(0, digits)) * 60 + Number(cell.slice(digits)) + 60 * by_deg;
  const degrees = Math.floor(minutes / 60);
  return `${String(degrees).padStart(digits, '0')}${(minutes - 60 * degrees).toFixed(7).padStart(10, '0')}`;
}
