/**
 * The feed of sensor and logger: which wire, which fuse, which splice.
 *
 * Diameter of gauge n: 0.127 mm · 92^((36 − n)/39) [ASTM B258]; resistivity of annealed copper at 20 °C 1.7241e-8 Ω·m
 * [IEC 60028]. The drop is over both conductors, 2·L·I·ρ/A. Fuses and splice colours are common practice, no source.
 */

export interface WireChoice {
  /** American wire gauge. */
  readonly gauge: number;
  readonly area_mm2: number;
  readonly drop_v: number;
  readonly drop_pct: number;
  /** Next standard size above one and a half times the load, and never more than the wire bears. */
  readonly fuse_a: number;
  /** Insulation colour of a crimp splice for it. */
  readonly splice: 'red' | 'blue';
}

const COPPER_OHM_M = 1.7241e-8;
const GAUGES = [20, 18, 16, 14] as const;
const SUPPLY_V = 12;
/** Sensors run down to 10 V or so, and the battery's own dip wants the rest. */
const MOST_DROP_PCT = 3;
const FUSES_A = [1, 2, 3, 5, 7.5, 10, 15] as const;
/** What a chassis wire bears in a loom without getting warm (common practice, no source). */
const MOST_FUSE_A: Readonly<Record<number, number>> = { 20: 5, 18: 7.5, 16: 10, 14: 15 };
const FUSE_MARGIN = 1.5;

/** Cross-section of a gauge, mm². */
export function areaOfGauge(gauge: number): number {
  const diameter_mm = 0.127 * 92 ** ((36 - gauge) / 39);
  return (Math.PI / 4) * diameter_mm ** 2;
}

/** Red splices take 18 gauge and finer, blue ones 16 and heavier (common practice, no source). */
export function spliceColour(gauge: number): 'red' | 'blue' {
  return gauge >= 18 ? 'red' : 'blue';
}

/**
 * The finest wire that loses no more than 3 % of 12 V over `run_m` (one way) at `load_a`, with its fuse; undefined when none up
 * to gauge 14 does. @throws RangeError for lengths and currents that are not positive.
 */
export function chooseWire(run_m: number, load_a: number): WireChoice | undefined {
  if (!(run_m > 0 && load_a > 0))
    throw new RangeError(`A wire needs a length and a current, not ${run_m} m and ${load_a} A.`);
  for (const gauge of GAUGES) {
    const area_mm2 = areaOfGauge(gauge);
    const drop_v = (2 * run_m * load_a * COPPER_OHM_M) / (area_mm2 * 1e-6);
    const drop_pct = (100 * drop_v) / SUPPLY_V;
    const fuse_a = FUSES_A.find((size) => size >= FUSE_MARGIN * load_a) ?? Number.POSITIVE_INFINITY;
    if (drop_pct > MOST_DROP_PCT || fuse_a > MOST_FUSE_A[gauge]) continue;
    return { gauge, area_mm2, drop_v, drop_pct, fuse_a, splice: spliceColour(gauge) };
  }
  return undefined;
}
