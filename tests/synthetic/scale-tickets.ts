/** The scale: what each load truly weighed, what was written on its ticket, and the ticket file. */
import { type Drive, STEP_S } from './drive.ts';
import type { Random } from './random.ts';
import type { LoadsSpec, MachineSpec } from './scene-spec.ts';
import type { GrainFlow } from './threshing.ts';

const POUND_KG = 0.45359237;
const UNIT_KG = { kg: 1, lb: POUND_KG, t: 1000, ston: 2000 * POUND_KG } as const;
/** What the scale's display shows a step of, in its unit. */
const DISPLAY_STEP = { kg: 10, lb: 20, t: 0.01, ston: 0.01 } as const;
/** kg/m³ of one lb/bu (US): 0.45359237 kg / 35.23907016688 L. */
const LB_BU_KG_M3 = (POUND_KG / 35.23907016688) * 1000;
const TARE_KG = 14_180;
const LEAST_WEIGHED = 4;

/** One tank load: grain that passed the beam in [start, end). */
export interface TrueLoad {
  readonly field: string;
  readonly machine: string;
  readonly start_utc_ms: number;
  readonly end_utc_ms: number;
  readonly true_kg: number;
  readonly moisture_pct: number;
  readonly bulk_density_kg_m3: number;
}

/** One ticket with its truth; `start_utc_s` and `end_utc_s` Unix seconds (of the field's first and last load when it stands for the field). */
export interface TicketTruth {
  readonly ticket: string;
  readonly field: string;
  readonly machine: string;
  readonly true_kg: number;
  readonly written_kg: number;
  readonly mistyped: boolean;
  readonly start_utc_s: number;
  readonly end_utc_s: number;
  readonly moisture_pct: number;
}

/** Loads between the moments at which the tank was emptied; grain of the last load is in when the log ends. */
export function trueLoads(
  field: string,
  machine: MachineSpec,
  drive: Drive,
  flow: GrainFlow,
  start_utc_ms: number,
  bulk_density_kg_m3: number,
): readonly TrueLoad[] {
  const { transport_s, mixing_s } = machine.grain;
  // The driver waits until the elevator has run empty.
  const bounds_s = drive.stops_s.map((stop_s) => Math.ceil(stop_s + transport_s + 6 * mixing_s));
  bounds_s.unshift(0);
  bounds_s.push(Math.ceil(drive.steps * STEP_S));
  return bounds_s.slice(1).map((end_s, i) => {
    const from = Math.round(bounds_s[i] / STEP_S);
    const to = Math.min(drive.steps, Math.round(end_s / STEP_S));
    let wet = 0;
    let water = 0;
    for (let k = from; k < to; k++) {
      wet += flow.wet_kg[k];
      water += flow.water_kg[k];
    }
    return {
      field,
      machine: machine.id,
      start_utc_ms: start_utc_ms + bounds_s[i] * 1000,
      end_utc_ms: start_utc_ms + end_s * 1000,
      true_kg: wet,
      moisture_pct: (100 * water) / wet,
      bulk_density_kg_m3,
    };
  });
}

/** Tickets in the order in which the loads came in, and the CSV; undefined when the scene has none. */
export function writeTickets(
  loads: readonly TrueLoad[],
  spec: LoadsSpec,
  random: Random,
): { readonly csv: string; readonly tickets: readonly TicketTruth[] } | undefined {
  if (spec.tickets === 'none') return undefined;
  const weighed = spec.tickets === 'field' ? joinedByField(loads) : [...loads];
  weighed.sort((a, b) => a.end_utc_ms - b.end_utc_ms || (a.machine < b.machine ? -1 : 1));
  const portions =
    spec.tickets === 'two_a_load'
      ? weighed.flatMap((load) => {
          const share = random.between(0.4, 0.6);
          return [scaled(load, share), scaled(load, 1 - share)];
        })
      : weighed;
  const tickets: TicketTruth[] = [];
  const onScale = spec.weighed_share < 1 ? drawn(portions, spec.weighed_share, random) : portions;
  const rows = onScale.map((load, i) => {
    const noisy_kg = load.true_kg * (1 + spec.scale_noise * random.normal());
    const step = DISPLAY_STEP[spec.unit];
    const honest = Math.round(noisy_kg / UNIT_KG[spec.unit] / step) * step;
    const mistyped = i === spec.mistyped_index;
    const written = mistyped ? mistype(honest, step, spec.mistype) : honest;
    const moisture = load.moisture_pct + 0.1 * random.normal();
    const density = load.bulk_density_kg_m3 * (1 + 0.004 * random.normal());
    const ticket = String(spec.first_number + i);
    tickets.push({
      ticket,
      field: load.field,
      machine: load.machine,
      true_kg: load.true_kg,
      written_kg: written * UNIT_KG[spec.unit],
      mistyped,
      start_utc_s: load.start_utc_ms / 1000,
      end_utc_s: load.end_utc_ms / 1000,
      moisture_pct: load.moisture_pct,
    });
    return ticketRow(ticket, load, written, step, moisture, density, spec);
  });
  return { csv: `${[header(spec), ...rows].join('\n')}\n`, tickets };
}

function joinedByField(loads: readonly TrueLoad[]): TrueLoad[] {
  return [...new Set(loads.map((load) => load.field))].map((field) => {
    const mine = loads.filter((load) => load.field === field);
    const true_kg = mine.reduce((sum, load) => sum + load.true_kg, 0);
    return {
      ...mine[0],
      machine: '',
      start_utc_ms: Math.min(...mine.map((load) => load.start_utc_ms)),
      end_utc_ms: Math.max(...mine.map((load) => load.end_utc_ms)),
      true_kg,
      moisture_pct: mine.reduce((sum, load) => sum + load.true_kg * load.moisture_pct, 0) / true_kg,
    };
  });
}

function scaled(load: TrueLoad, share: number): TrueLoad {
  return { ...load, true_kg: load.true_kg * share };
}

/** A share of the loads by lot, in their order. */
function drawn(loads: readonly TrueLoad[], share: number, random: Random): readonly TrueLoad[] {
  const lots = loads.map((_, i) => ({ i, lot: random.uniform() })).sort((a, b) => a.lot - b.lot);
  const count = Math.max(LEAST_WEIGHED, Math.round(share * loads.length));
  const chosen = new Set(lots.slice(0, count).map(({ i }) => i));
  return loads.filter((_, i) => chosen.has(i));
}

/** Two neighbouring digits change places, those that change most within 30 %; or a share is added. */
function mistype(honest: number, step: number, how: 'transposed' | number): number {
  if (how !== 'transposed') return Math.round((honest * (1 + how)) / step) * step;
  const decimals = step < 1 ? 2 : 0;
  const digits = honest.toFixed(decimals);
  let best = honest;
  for (let i = 0; i + 1 < digits.length; i++) {
    const swapped = Number(digits.slice(0, i) + digits[i + 1] + digits[i] + digits.slice(i + 2));
    const change = Math.abs(swapped / honest - 1);
    if (change < 0.3 && change > Math.abs(best / honest - 1)) best = swapped;
  }
  // Digits that are all alike: one is struck wrongly instead.
  return Math.abs(best / honest - 1) > 0.04 ? best : Math.round((honest * 1.1) / step) * step;
}

function header(spec: LoadsSpec): string {
  const masses = spec.columns === 'net' ? ['net'] : ['gross', 'tare', 'net'];
  const names = ['ticket', 'field', 'machine'];
  if (spec.tickets !== 'field') names.push('start', 'end');
  names.push(...masses.map((name) => `${name}_${spec.unit}`));
  if (spec.with_moisture) names.push('moisture_pct');
  if (spec.with_test_weight) names.push(spec.unit === 'lb' ? 'test_weight_lb_bu' : 'test_weight_kg_hl');
  return names.join(',');
}

function ticketRow(
  ticket: string,
  load: TrueLoad,
  written: number,
  step: number,
  moisture_pct: number,
  density_kg_m3: number,
  spec: LoadsSpec,
): string {
  const decimals = step < 1 ? 2 : 0;
  const cells = [ticket, load.field, load.machine];
  if (spec.tickets !== 'field') cells.push(isoSeconds(load.start_utc_ms), isoSeconds(load.end_utc_ms));
  if (spec.columns === 'gross_tare_net') {
    const tare = Math.round(TARE_KG / UNIT_KG[spec.unit] / step) * step;
    cells.push((written + tare).toFixed(decimals), tare.toFixed(decimals));
  }
  cells.push(written.toFixed(decimals));
  if (spec.with_moisture) cells.push(moisture_pct.toFixed(1));
  if (spec.with_test_weight) {
    cells.push((spec.unit === 'lb' ? density_kg_m3 / LB_BU_KG_M3 : density_kg_m3 / 10).toFixed(1));
  }
  return cells.join(',');
}

/** `2026-10-06T14:20:00Z`; loads are bounded on whole seconds. */
export function isoSeconds(utc_ms: number): string {
  return `${new Date(utc_ms).toISOString().slice(0, 19)}Z`;
}
