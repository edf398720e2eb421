/** The field's boundary as the header meets it: which parts of a cross-section lie outside. */

/** Rings of a field in its plane, each [east0, north0, east1, north1, …] in metres, closed or not; even–odd rule. */
export type PlaneRings = readonly Float64Array[];

const CELL_M = 16;

export class FieldEdge {
  /** Edges [e0, n0, e1, n1] one after the other. */
  readonly #edges: Float64Array;
  /** Edges within `reach` of each cell that has any. */
  readonly #near = new Map<number, number[]>();
  /** Whether cells without edges are inside, as far as asked. */
  readonly #inside = new Map<number, boolean>();
  readonly #crossings: number[] = [];

  /** `reach_m`: no cross-section extends farther than this from the point by which it is asked for. */
  constructor(rings: PlaneRings, reach_m: number) {
    const edges: number[] = [];
    for (const ring of rings) {
      const points = ring.length / 2;
      for (let i = 0, j = points - 1; i < points; j = i++) {
        edges.push(ring[2 * j], ring[2 * j + 1], ring[2 * i], ring[2 * i + 1]);
      }
    }
    this.#edges = Float64Array.from(edges);
    for (let k = 0; k < this.#edges.length; k += 4) this.#enter(k, reach_m);
  }

  /** 1 wholly inside, −1 wholly outside, 0 when the edge passes within reach of the point. */
  side(east_m: number, north_m: number): -1 | 0 | 1 {
    const cell = cellKey(Math.floor(east_m / CELL_M), Math.floor(north_m / CELL_M));
    if (this.#near.has(cell)) return 0;
    let inside = this.#inside.get(cell);
    if (inside === undefined) {
      inside = this.contains(east_m, north_m);
      this.#inside.set(cell, inside);
    }
    return inside ? 1 : -1;
  }

  contains(east_m: number, north_m: number): boolean {
    let inside = false;
    const edges = this.#edges;
    for (let k = 0; k < edges.length; k += 4) {
      if (edges[k + 1] > north_m === edges[k + 3] > north_m) continue;
      const share = (north_m - edges[k + 1]) / (edges[k + 3] - edges[k + 1]);
      if (edges[k] + share * (edges[k + 2] - edges[k]) > east_m) inside = !inside;
    }
    return inside;
  }

  /**
   * Crossings of the line through a point in the direction (cos, −sin of heading) with the edges near it, as signed
   * distances to the right, ascending, within `reach_m`; valid until the next call.
   */
  crossings(east_m: number, north_m: number, heading_rad: number, reach_m: number): readonly number[] {
    const sin = Math.sin(heading_rad);
    const cos = Math.cos(heading_rad);
    const cell = cellKey(Math.floor(east_m / CELL_M), Math.floor(north_m / CELL_M));
    const crossings = this.#crossings;
    crossings.length = 0;
    for (const k of this.#near.get(cell) ?? []) {
      const e0 = this.#edges[k] - east_m;
      const n0 = this.#edges[k + 1] - north_m;
      const e1 = this.#edges[k + 2] - east_m;
      const n1 = this.#edges[k + 3] - north_m;
      const y0 = e0 * sin + n0 * cos;
      const y1 = e1 * sin + n1 * cos;
      if (y0 > 0 === y1 > 0) continue;
      const x0 = e0 * cos - n0 * sin;
      const x1 = e1 * cos - n1 * sin;
      const x = x0 + ((x1 - x0) * y0) / (y0 - y1);
      if (Math.abs(x) <= reach_m) crossings.push(x);
    }
    return crossings.sort((a, b) => a - b);
  }

  /** Notes edge k in every cell that it comes near. */
  #enter(k: number, reach_m: number): void {
    const edges = this.#edges;
    const length_m = Math.hypot(edges[k + 2] - edges[k], edges[k + 3] - edges[k + 1]);
    // walk along the edge, so that long slanted edges do not fill their whole box
    const steps = Math.max(1, Math.ceil(length_m / CELL_M));
    const margin = reach_m + length_m / steps / 2;
    for (let s = 0; s < steps; s++) {
      const share = (s + 0.5) / steps;
      const east = edges[k] + share * (edges[k + 2] - edges[k]);
      const north = edges[k + 1] + share * (edges[k + 3] - edges[k + 1]);
      for (
        let row = Math.floor((north - margin) / CELL_M);
        row <= Math.floor((north + margin) / CELL_M);
        row++
      ) {
        for (
          let col = Math.floor((east - margin) / CELL_M);
          col <= Math.floor((east + margin) / CELL_M);
          col++
        ) {
          const key = cellKey(col, row);
          const near = this.#near.get(key);
          if (near === undefined) this.#near.set(key, [k]);
          else if (near[near.length - 1] !== k) near.push(k);
        }
      }
    }
  }
}

function cellKey(col: number, row: number): number {
  return (col + 2 ** 20) * 2 ** 21 + row + 2 ** 20;
}
