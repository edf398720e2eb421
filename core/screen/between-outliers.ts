/** Short stretches of a pass between two yields that are wrong: what is wrong on both sides only looks right in passing. */

/** One row a point, in time order within each machine. */
export interface DrivenRows {
  readonly machine: Int32Array;
  readonly pass: Int32Array;
  readonly duration_s: Float64Array;
}

/**
 * Marks in `outlying` the points that lie between two marked points of the same pass no more than `between_s` apart. A
 * plugged machine gives nothing and then too much, and passes through the right yield on its way.
 */
export function fillBetween(rows: DrivenRows, outlying: Uint8Array, between_s: number): void {
  const { machine, pass, duration_s } = rows;
  const open = new Map<number, { pass: number; apart_s: number; between: number[] }>();
  for (let i = 0; i < outlying.length; i++) {
    let stretch = open.get(machine[i]);
    if (outlying[i] === 1) {
      if (stretch !== undefined && stretch.pass === pass[i] && stretch.apart_s <= between_s) {
        for (const row of stretch.between) outlying[row] = 1;
      }
      open.set(machine[i], { pass: pass[i], apart_s: 0, between: [] });
    } else if (stretch !== undefined) {
      stretch.apart_s += duration_s[i];
      if (stretch.pass === pass[i] && stretch.apart_s <= between_s) stretch.between.push(i);
      else {
        open.delete(machine[i]);
        stretch = undefined;
      }
    }
  }
}
