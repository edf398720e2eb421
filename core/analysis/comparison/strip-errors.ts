/**
 * How far apart means of strips lie by the ground alone: points that are neighbours share most of what they are, so that a
 * strip of hundreds tells as little as a few that are far from each other.
 */
import type { FieldPoints } from '../../result.ts';
import { covarianceFromSquare, evenPlane } from '../../surface/covariance.ts';
import type { VariogramModel } from '../../surface/variogram-model.ts';
import { type ThinnedStrip, thinnedStrip } from './strip-thinning.ts';

export interface StripError {
  /** Of a strip's mean: `√½` of the mean variance of its difference from the other strips, as the variogram has it. */
  readonly se_kg_m2: number;
  /** How many points without neighbours would tell as much [CliffordRichardsonHemon1989; Griffith2005]. */
  readonly effective_points: number;
}

/** With so many stretches of each strip the errors are good to some per cent; fewer of each where strips are many. */
const MOST_STRETCHES = 60;
const MOST_STRETCHES_IN_ALL = 2400;

/**
 * The variance of a difference of means is `2γ̄(v,u) − γ̄(v,v) − γ̄(u,u)` with the nugget over the points of each
 * [JournelHuijbregts1978 §II.C; ChilesDelfiner2012 §2.8]: only semivariances at distances within the field take part, so that
 * a trend without a sill does no harm. NaN without a model, or for a single strip.
 */
export function stripErrors(
  points: FieldPoints,
  rows: readonly Int32Array[],
  model: VariogramModel | undefined,
): StripError[] {
  if (model === undefined || rows.length < 2)
    return rows.map(() => ({ se_kg_m2: Number.NaN, effective_points: Number.NaN }));
  const most = Math.min(MOST_STRETCHES, Math.max(4, Math.floor(MOST_STRETCHES_IN_ALL / rows.length)));
  const strips = rows.map((own) => evenStrip(thinnedStrip(points, own, most), model));
  const covariance = covarianceFromSquare(model);
  const semivariance = (a: EvenStrip, b: EvenStrip) => {
    let sum = 0;
    for (let i = 0; i < a.x.length; i++)
      for (let j = 0; j < b.x.length; j++)
        sum +=
          a.weight[i] *
          b.weight[j] *
          (model.partial_sill - covariance((a.x[i] - b.x[j]) ** 2 + (a.y[i] - b.y[j]) ** 2));
    return sum;
  };
  const within = strips.map((strip) => semivariance(strip, strip));
  const variances = strips.map(() => 0);
  const single = strips.map(() => 0);
  for (let v = 0; v < strips.length; v++)
    for (let u = 0; u < v; u++) {
      const between = semivariance(strips[v], strips[u]);
      const nuggets = model.nugget * (strips[v].squared_weights + strips[u].squared_weights);
      const variance = 2 * between - within[v] - within[u] + nuggets;
      for (const k of [u, v]) {
        variances[k] += variance;
        single[k] += between + model.nugget;
      }
    }
  const others = strips.length - 1;
  return rows.map((own, k) => {
    const variance = Math.max(0, variances[k]) / 2 / others;
    return {
      se_kg_m2: Math.sqrt(variance),
      effective_points: Math.min(own.length, single[k] / others / variance),
    };
  });
}

interface EvenStrip extends Pick<ThinnedStrip, 'weight' | 'squared_weights'> {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

function evenStrip({ east_m, north_m, ...rest }: ThinnedStrip, model: VariogramModel): EvenStrip {
  const plane = evenPlane(model);
  return {
    ...rest,
    x: Float64Array.from(east_m, (east, k) => plane.x(east, north_m[k])),
    y: Float64Array.from(east_m, (east, k) => plane.y(east, north_m[k])),
  };
}
