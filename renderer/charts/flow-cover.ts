/** Grain by flow: how much of it passed at flows for which the loads speak. */
import type { FieldPoints } from '../../core/result.ts';

export interface FlowBins {
  readonly low_kg_s: number;
  readonly step_kg_s: number;
  /** Kept grain of each bin, kg. */
  readonly mass_kg: Float64Array;
}

const BINS = 36;

/** Kept grain of one machine by flow, over the given fields; null where it cut nothing. */
export function flowBins(fields: readonly FieldPoints[], machine: number): FlowBins | null {
  let most = 0;
  eachKept(fields, machine, (flow_kg_s) => {
    if (flow_kg_s > most) most = flow_kg_s;
  });
  if (!(most > 0)) return null;
  const step_kg_s = most / BINS;
  const mass_kg = new Float64Array(BINS);
  eachKept(fields, machine, (flow_kg_s, grain_kg) => {
    mass_kg[Math.min(BINS - 1, Math.max(0, Math.floor(flow_kg_s / step_kg_s)))] += grain_kg;
  });
  return { low_kg_s: 0, step_kg_s, mass_kg };
}

function eachKept(
  fields: readonly FieldPoints[],
  machine: number,
  take: (flow_kg_s: number, grain_kg: number) => void,
): void {
  for (const points of fields)
    for (let i = 0; i < points.t_s.length; i++) {
      const flow_kg_s = points.mass_flow_kg_s[i];
      if (points.screened_by[i] === 0 && points.machine[i] === machine && Number.isFinite(flow_kg_s))
        take(flow_kg_s, points.mass_kg[i]);
    }
}

/** Kept points of the machine whose flow lies outside the range; null when there are none. */
export function outsideRows(
  points: FieldPoints,
  machine: number,
  [least, most]: readonly [number, number],
): Uint8Array | null {
  const mask = new Uint8Array(points.t_s.length);
  let count = 0;
  for (let i = 0; i < mask.length; i++) {
    const flow_kg_s = points.mass_flow_kg_s[i];
    if (points.screened_by[i] !== 0 || points.machine[i] !== machine) continue;
    if (!(flow_kg_s < least || flow_kg_s > most)) continue;
    mask[i] = 1;
    count++;
  }
  return count > 0 ? mask : null;
}
