/**
 * Running median over a centred window of an odd number of rows, shortened at the ends; of an even number of elements the
 * upper middle one. NaN elements are left out; NaN where the window holds nothing else. O(n·window), windows being small.
 */
export function runningMedian(column: ArrayLike<number>, window: number): Float64Array {
  const half = window >> 1;
  const median = new Float64Array(column.length);
  const sorted = new Float64Array(window + 1);
  let size = 0;
  const insert = (x: number) => {
    if (Number.isNaN(x)) return;
    let k = size++;
    while (k > 0 && sorted[k - 1] > x) {
      sorted[k] = sorted[k - 1];
      k--;
    }
    sorted[k] = x;
  };
  const remove = (x: number) => {
    if (Number.isNaN(x)) return;
    let k = 0;
    while (sorted[k] !== x) k++;
    size--;
    for (; k < size; k++) sorted[k] = sorted[k + 1];
  };
  for (let i = 0; i < Math.min(half, column.length); i++) insert(column[i]);
  for (let i = 0; i < column.length; i++) {
    if (i + half < column.length) insert(column[i + half]);
    if (i - half - 1 >= 0) remove(column[i - half - 1]);
    median[i] = size > 0 ? sorted[size >> 1] : Number.NaN;
  }
  return median;
}
