/** Sets of layers that belong together, for formats that put all kinds of layers into one file. */
import type { LayerSet } from './format.ts';

export interface SetGroup {
  /** Of the season, or of the field where files are asked for each: `home-points` → `home`. */
  readonly stem: string;
  readonly sets: readonly LayerSet[];
}

/** In the order in which they come; the kind of layer at the end of a stem is what sets of a group differ in. */
export function setGroups(sets: readonly LayerSet[]): readonly SetGroup[] {
  const groups = new Map<string, LayerSet[]>();
  for (const set of sets) {
    const stem = set.stem.endsWith(`-${set.kind}`) ? set.stem.slice(0, -set.kind.length - 1) : set.stem;
    const group = groups.get(stem);
    if (group === undefined) groups.set(stem, [set]);
    else group.push(set);
  }
  return [...groups].map(([stem, group]) => ({ stem, sets: group }));
}
