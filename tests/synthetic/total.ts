/** The sum, in order. */
export function total(amounts: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < amounts.length; i++) sum += amounts[i];
  return sum;
}
