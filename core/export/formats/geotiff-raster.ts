/** An image and its reduced copies. */

export interface Raster {
  readonly width: number;
  readonly height: number;
  /** One a band, `row · width + column`, the northernmost row first. */
  readonly planes: readonly Float32Array[];
}

/** Copies are made until both sides are at most this long: a thumbnail. */
const LEAST_SIDE = 64;

/** The image itself, then copies of half the size each, every pixel the mean of the up to four that have a number. */
export function rasterLevels(full: Raster, noData: number): Raster[] {
  const levels = [full];
  for (let last = full; Math.max(last.width, last.height) > LEAST_SIDE; ) {
    last = halved(last, noData);
    levels.push(last);
  }
  return levels;
}

function halved({ width, height, planes }: Raster, noData: number): Raster {
  const [across, down] = [Math.ceil(width / 2), Math.ceil(height / 2)];
  const half = planes.map((plane) => {
    const means = new Float32Array(across * down);
    for (let row = 0; row < down; row++) {
      for (let column = 0; column < across; column++) {
        let sum = 0;
        let count = 0;
        for (let y = 2 * row; y < Math.min(height, 2 * row + 2); y++) {
          for (let x = 2 * column; x < Math.min(width, 2 * column + 2); x++) {
            const number = plane[y * width + x];
            if (number === noData) continue;
            sum += number;
            count++;
          }
        }
        means[row * across + column] = count === 0 ? noData : sum / count;
      }
    }
    return means;
  });
  return { width: across, height: down, planes: half };
}
