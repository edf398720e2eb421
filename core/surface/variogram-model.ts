/**
 * Models of a variogram: how much the squares of differences grow with the distance between two places
 * [Cressie1993 §2.3; ChilesDelfiner2012 §2.5]. Amounts are squares of whatever the surface is of.
 */

/** `matern` has a smoothness of 1.5 or 2.5; with 0.5 it is `exponential`, and with ever more it becomes `gaussian`. */
export type VariogramShape = 'spherical' | 'exponential' | 'gaussian' | 'matern';

export const VARIOGRAM_SHAPES: readonly VariogramShape[] = ['spherical', 'exponential', 'gaussian', 'matern'];

/** Half-integer orders, for which the Bessel function is a polynomial times an exponential. */
export type MaternSmoothness = 1.5 | 2.5;

/** Distances across `azimuth_deg` count as `1/ratio` of themselves: the range is shorter that way. */
export interface Anisotropy {
  /** Direction of the longest range, clockwise from north. */
  readonly azimuth_deg: number;
  /** Shortest range over longest, above 0 to 1. */
  readonly ratio: number;
}

export interface VariogramModel {
  readonly shape: VariogramShape;
  /** What two measurements at one place differ by. */
  readonly nugget: number;
  /** What distance adds in the end. */
  readonly partial_sill: number;
  /** The `a` of the formulas of `correlationOf`, along the longest axis. */
  readonly range_m: number;
  /** Of `matern` alone; 1.5 when absent. */
  readonly smoothness?: MaternSmoothness;
  readonly anisotropy?: Anisotropy;
}

/** Throws RangeError for a model that is none. */
export function mustBeModel(model: VariogramModel): void {
  const { nugget, partial_sill, range_m, anisotropy } = model;
  if (!(nugget >= 0 && partial_sill >= 0 && nugget + partial_sill > 0))
    throw new RangeError(`a variogram needs a sill above zero, not ${nugget} + ${partial_sill}`);
  if (!(range_m > 0 && range_m < Number.POSITIVE_INFINITY))
    throw new RangeError(`a variogram needs a range above zero, not ${range_m}`);
  if (anisotropy !== undefined && !(anisotropy.ratio > 0 && anisotropy.ratio <= 1))
    throw new RangeError(`a ratio of ranges lies above 0 and up to 1, not ${anisotropy.ratio}`);
}

/**
 * Correlation of the part that depends on distance, at distance h ≥ 0 [ChilesDelfiner2012 §2.5.1]:
 * spherical `1 − 3h/2a + h³/2a³` up to a, then 0; exponential `exp(−h/a)`; gaussian `exp(−(h/a)²)`; Matérn
 * `2^(1−ν)/Γ(ν) (h/a)^ν K_ν(h/a)`, which is `(1 + u) exp(−u)` for ν = 3/2 and `(1 + u + u²/3) exp(−u)` for 5/2, u = h/a.
 */
export function correlationOf(
  model: Pick<VariogramModel, 'shape' | 'range_m' | 'smoothness'>,
): (h_m: number) => number {
  const inverse = 1 / model.range_m;
  switch (model.shape) {
    case 'spherical':
      return (h_m) => {
        const u = h_m * inverse;
        return u < 1 ? 1 - u * (1.5 - 0.5 * u * u) : 0;
      };
    case 'exponential':
      return (h_m) => Math.exp(-h_m * inverse);
    case 'gaussian':
      return (h_m) => Math.exp(-((h_m * inverse) ** 2));
    case 'matern':
      return model.smoothness === 2.5
        ? (h_m) => {
            const u = h_m * inverse;
            return (1 + u * (1 + u / 3)) * Math.exp(-u);
          }
        : (h_m) => {
            const u = h_m * inverse;
            return (1 + u) * Math.exp(-u);
          };
  }
}

/** Semivariance at distance h > 0: `nugget + partial_sill (1 − ρ(h))`; 0 at h = 0. */
export function semivarianceOf(model: VariogramModel): (h_m: number) => number {
  const correlation = correlationOf(model);
  return (h_m) => (h_m > 0 ? model.nugget + model.partial_sill * (1 - correlation(h_m)) : 0);
}

/** Distance from which on 5 % or less of the correlation is left: what growers can picture. */
export function effectiveRange_m(model: VariogramModel): number {
  if (model.shape === 'spherical') return model.range_m;
  const correlation = correlationOf(model);
  let low = 0;
  let high = 20 * model.range_m;
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (correlation(middle) > 0.05) low = middle;
    else high = middle;
  }
  return high;
}
