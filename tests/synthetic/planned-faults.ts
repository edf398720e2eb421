/**
 * Faults of driving and of sensors that are planted within passes: each begins at a drawn place of a drawn pass. What
 * they do is theirs; when each really began and ended is noted as the machine drives.
 */
import type { Random } from './random.ts';
import type { Leg } from './route.ts';

/** Faults that are planted, each at most once in a pass. */
export const PLANTED_FAULTS = [
  /** Stands, header down, then goes on. */
  'stop',
  /** Creeps on at a tenth of its speed. */
  'creep',
  /** Half the speed from one second to the next, and back. */
  'speed_step',
  /** The feeder is plugged, then all that was held comes at once. */
  'plug',
  /** All fixes lie some metres to one side. */
  'fix_jump',
  /** No fixes. */
  'dropout',
  /** The moisture sensor shows 8 to 14 points too much, or 6 to 9 too little: still what grain can have. */
  'moisture_fault',
  /** Chaff rides on the paddles: heaps look two to three times as high. */
  'burst',
  /** The header stays down after the pass. */
  'overrun',
] as const;

export type PlantedFault = (typeof PLANTED_FAULTS)[number];

/** One planted fault. */
export interface PlannedFault {
  readonly kind: PlantedFault;
  readonly leg: number;
  /** Where on the leg it begins. */
  readonly s_m: number;
  readonly duration_s: number;
  /** What its kind makes of it: metres to one side, points of moisture, a factor. */
  readonly size: number;
}

/** A fault as it happened, seconds from the log's start. */
export interface FaultSpan {
  readonly kind: PlantedFault;
  readonly from_s: number;
  readonly to_s: number;
  readonly size: number;
}

/** Passes must be this long to be given a fault, and this much of them at either end is left alone. */
const LONG_PASS_M = 130;
const END_MARGIN_M = 45;

/** Lets kinds and passes be drawn: `each` of every kind, as far as there are passes. */
export function planFaults(legs: readonly Leg[], each: number, random: Random): PlannedFault[] {
  const free = legs.flatMap((leg, k) =>
    leg.kind === 'pass' && leg.path.length_m >= LONG_PASS_M && legs[k + 1].kind === 'turn' ? [k] : [],
  );
  const faults: PlannedFault[] = [];
  for (let round = 0; round < each; round++) {
    for (const kind of PLANTED_FAULTS) {
      if (free.length === 0) return faults;
      const [leg] = free.splice(random.integer(free.length), 1);
      const path = legs[leg];
      const length_m = path.kind === 'pass' ? path.path.length_m : 0;
      const s_m =
        kind === 'overrun' ? length_m - 10 : random.between(END_MARGIN_M, Math.max(50, length_m - 90));
      faults.push({ kind, leg, s_m, ...extentOf(kind, random) });
    }
  }
  return faults;
}

function extentOf(kind: PlantedFault, random: Random): { duration_s: number; size: number } {
  const sign = random.uniform() < 0.5 ? -1 : 1;
  switch (kind) {
    case 'stop':
      return { duration_s: random.between(8, 20), size: 0 };
    case 'creep':
      return { duration_s: random.between(15, 30), size: random.between(0.08, 0.14) };
    case 'speed_step':
      return { duration_s: random.between(15, 22), size: random.between(0.4, 0.6) };
    case 'plug':
      return { duration_s: random.between(8, 14), size: random.between(0.35, 0.6) };
    case 'fix_jump':
      return { duration_s: Math.round(random.between(6, 16)), size: sign * random.between(3, 9) };
    case 'dropout':
      return { duration_s: Math.round(random.between(7, 14)), size: 0 };
    case 'moisture_fault':
      return {
        duration_s: random.between(25, 40),
        size: sign > 0 ? random.between(8, 14) : -random.between(6, 9),
      };
    case 'burst':
      return { duration_s: random.between(4, 9), size: random.between(2, 3) };
    case 'overrun':
      return { duration_s: random.between(6, 10), size: 0 };
  }
}

/** Watches one machine drive: tells what its faults demand of the driver and notes their spans. */
export class FaultWatch {
  readonly #planned: readonly PlannedFault[];
  readonly #spans: FaultSpan[] = [];
  #active: { readonly fault: PlannedFault; readonly from_s: number } | undefined;

  constructor(planned: readonly PlannedFault[]) {
    this.#planned = planned;
  }

  get spans(): readonly FaultSpan[] {
    return this.#spans;
  }

  /** To be told of every step. */
  pass(leg: number, s_m: number, time_s: number): void {
    const active = this.#active;
    if (active !== undefined) {
      if (time_s < active.from_s + active.fault.duration_s) return;
      const { kind, size } = active.fault;
      this.#spans.push({ kind, size, from_s: active.from_s, to_s: time_s });
      this.#active = undefined;
      return;
    }
    const fault = this.#planned.find((one) => one.leg === leg && s_m >= one.s_m);
    const isOver = this.#spans.some(
      (span) => span.kind === fault?.kind && time_s - span.to_s < 200 && span.size === fault.size,
    );
    if (fault !== undefined && !isOver) this.#active = { fault, from_s: time_s };
  }

  /** Share of the wanted speed that the driver keeps to. */
  get speedShare(): number {
    const fault = this.#active?.fault;
    if (fault === undefined || !['stop', 'creep', 'speed_step'].includes(fault.kind)) return 1;
    return fault.size;
  }

  get keepsHeaderDown(): boolean {
    return this.#active?.fault.kind === 'overrun';
  }
}

/** Spans of one kind, moved later by `by_s`. */
export function spansOf(spans: readonly FaultSpan[], kind: PlantedFault, by_s = 0): readonly FaultSpan[] {
  return spans
    .filter((span) => span.kind === kind)
    .map((span) => ({ ...span, from_s: span.from_s + by_s, to_s: span.to_s + by_s }));
}

/** The span that holds a moment. */
export function spanAt(spans: readonly FaultSpan[], t_s: number): FaultSpan | undefined {
  return spans.find((span) => t_s >= span.from_s && t_s < span.to_s);
}

/** Amounts per step with what a plugged feeder held back let go again at its end. */
export function plugged(amount: Float64Array, plugs: readonly FaultSpan[], step_s: number): Float64Array {
  if (plugs.length === 0) return amount;
  const out = amount.slice();
  for (const { from_s, to_s, size } of plugs) {
    const from = Math.round(from_s / step_s);
    const to = Math.min(out.length, Math.round(to_s / step_s));
    // `size` of the span is plugged up, and the rest lets it go on top of what comes
    const free = Math.round(from + (1 - size) * (to - from));
    let held = 0;
    for (let k = from; k < free; k++) {
      held += out[k];
      out[k] = 0;
    }
    for (let k = free; k < to; k++) out[k] += held / (to - free);
  }
  return out;
}
