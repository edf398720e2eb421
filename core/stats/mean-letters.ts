/** Letters beside means: two that share one cannot be told apart. */

/**
 * By insertion and absorption [Piepho2004]: every pair that differs splits the groups that hold both; groups within others go.
 * `order` lists the means from the highest; the first letters go to the highest. One text a mean, e.g. `ab`.
 */
export function meanLetters(
  count: number,
  differ: (i: number, j: number) => boolean,
  order: readonly number[],
): string[] {
  let groups: Set<number>[] = [new Set(order)];
  for (let a = 0; a < count; a++) {
    for (let b = a + 1; b < count; b++) {
      const [i, j] = [order[a], order[b]];
      if (!differ(i, j)) continue;
      const split = groups.flatMap((group) =>
        group.has(i) && group.has(j) ? [without(group, i), without(group, j)] : [group],
      );
      groups = split.filter(
        (group, k) =>
          !split.some((other, l) => l !== k && isWithin(group, other) && (other.size > group.size || l < k)),
      );
    }
  }
  const place = new Map(order.map((mean, k) => [mean, k]));
  const first = (group: Set<number>) => Math.min(...[...group].map((mean) => place.get(mean) ?? count));
  const last = (group: Set<number>) => Math.max(...[...group].map((mean) => place.get(mean) ?? 0));
  groups.sort((a, b) => first(a) - first(b) || last(a) - last(b));
  return Array.from({ length: count }, (_, mean) =>
    groups.flatMap((group, k) => (group.has(mean) ? [letter(k)] : [])).join(''),
  );
}

function isWithin(inner: ReadonlySet<number>, outer: ReadonlySet<number>): boolean {
  return [...inner].every((one) => outer.has(one));
}

function without(group: ReadonlySet<number>, one: number): Set<number> {
  const rest = new Set(group);
  rest.delete(one);
  return rest;
}

/** a to z, then a1, b1 … */
function letter(k: number): string {
  const round = Math.floor(k / 26);
  return `${String.fromCharCode(97 + (k % 26))}${round === 0 ? '' : round}`;
}
