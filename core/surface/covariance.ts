/** Covariances between places by a variogram model, with its direction taken in. */
import { correlationOf, mustBeModel, type VariogramModel } from './variogram-model.ts';

/** Places turned and stretched so that the range is the same in every direction. */
export interface EvenPlane {
  x(east_m: number, north_m: number): number;
  y(east_m: number, north_m: number): number;
}

/** The plane in which the model's range is the same in every direction. */
export function evenPlane({ anisotropy }: VariogramModel): EvenPlane {
  if (anisotropy === undefined || anisotropy.ratio === 1)
    return { x: (east_m) => east_m, y: (_, north_m) => north_m };
  const angle = (anisotropy.azimuth_deg * Math.PI) / 180;
  const [sin, cos] = [Math.sin(angle), Math.cos(angle)];
  const { ratio } = anisotropy;
  return {
    x: (east_m, north_m) => (east_m * cos - north_m * sin) / ratio,
    y: (east_m, north_m) => east_m * sin + north_m * cos,
  };
}

/** Covariance of the part that depends on distance, from the square of the distance in the even plane. */
export function covarianceFromSquare(model: VariogramModel): (squared_m2: number) => number {
  mustBeModel(model);
  const correlation = correlationOf(model);
  const { partial_sill } = model;
  return (squared_m2) => partial_sill * correlation(Math.sqrt(squared_m2));
}
