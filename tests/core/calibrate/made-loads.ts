/** Loads made to measure for the tests of the load fit: a sensor of known gain and zero error, and honest tickets. */
import type { Load } from '../../../core/calibrate/load.ts';
import type { Ticket } from '../../../core/read/ticket.ts';
import type { Random } from '../../synthetic/random.ts';

export function madeTicket(ticket: string, net_kg: number, more: Partial<Ticket> = {}): Ticket {
  return {
    ticket,
    start_utc_s: Number.NaN,
    end_utc_s: Number.NaN,
    gross_kg: Number.NaN,
    tare_kg: Number.NaN,
    net_kg,
    moisture_pct: Number.NaN,
    bulk_density_kg_m3: Number.NaN,
    source: 'tickets/tickets.csv',
    line: 2,
    ...more,
  };
}

/** Heaps fill so much of the pitch for each kg/s: a third at 15 kg/s. */
const FILL_S_KG = 0.02;

export function madeLoad(
  ticket: string,
  scale_kg: number,
  x_kg: number,
  running_s: number,
  more: Partial<Ticket> = {},
): Load {
  return {
    ticket,
    tickets: [madeTicket(ticket, scale_kg, more)],
    machine: 'c1',
    crop: 'corn',
    start_s: 0,
    end_s: running_s,
    scale_kg,
    scale_sigma_kg: 10,
    x_kg,
    x2_kg: (FILL_S_KG * x_kg ** 2) / running_s,
    running_s,
    mean_flow_kg_s: scale_kg / running_s,
    bulk_density_kg_m3: 721,
    moisture_pct: Number.NaN,
  };
}

/** The load with another weight on its ticket. */
export function reweighed(load: Load, scale_kg: number, more: Partial<Ticket> = {}): Load {
  return {
    ...load,
    scale_kg,
    mean_flow_kg_s: scale_kg / load.running_s,
    tickets: [{ ...load.tickets[0], net_kg: scale_kg, ...more }],
  };
}

export interface SensorSpec {
  readonly k: number;
  readonly zero_kg_s: number;
  /** Scatter of the beam, share of the load. */
  readonly scatter: number;
  /** How much more of the grain it sees 8 kg/s above 12 kg/s, and less below: a heap that changes its shape with flow. */
  readonly bend?: number;
}

/** Honest loads of 2.5 to 11.5 t at 4 to 20 kg/s, weighed to 10 kg with 10 kg of error. */
export function honestLoads(random: Random, count: number, sensor: SensorSpec): Load[] {
  return Array.from({ length: count }, (_, i) => {
    const true_kg = random.between(2500, 11_500);
    const flow_kg_s = random.between(4, 20);
    const running_s = true_kg / flow_kg_s;
    const bend = ((sensor.bend ?? 0) * (flow_kg_s - 12)) / 8;
    const seen_kg = true_kg * (1 + bend) * (1 + sensor.scatter * random.normal());
    const scale_kg = 10 * Math.round((true_kg + 10 * random.normal()) / 10);
    return madeLoad(`T${i + 1}`, scale_kg, (seen_kg - sensor.zero_kg_s * running_s) / sensor.k, running_s);
  });
}
