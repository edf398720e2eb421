/** Which load grain went into, by when it passed the beam. */
import { ALL_MACHINES } from '../calibrate/load.ts';
import { upperBound } from '../columns.ts';
import type { LoadSpan } from '../result.ts';

/**
 * For each moment the index of the first load of the machine (or of all machines) whose time it lies in, [start, end); −1
 * where there is none.
 */
export function loadsAt(
  beam_s: Float64Array,
  machine: string,
  loads: readonly (LoadSpan & { readonly machine: string })[],
): Int32Array {
  const own = loads.flatMap((load, index) =>
    load.machine === machine || load.machine === ALL_MACHINES ? [{ ...load, index }] : [],
  );
  // between two neighbouring bounds nothing changes
  const bounds_s = Float64Array.from(new Set(own.flatMap(({ start_s, end_s }) => [start_s, end_s]))).sort();
  const between = Int32Array.from(
    bounds_s,
    (from_s) => own.find(({ start_s, end_s }) => from_s >= start_s && from_s < end_s)?.index ?? -1,
  );
  const found = new Int32Array(beam_s.length);
  for (let row = 0; row < found.length; row++) {
    found[row] = between[upperBound(bounds_s, beam_s[row]) - 1] ?? -1;
  }
  return found;
}
