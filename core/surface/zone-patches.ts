/** Patches of one class on a grid, the small ones given to their neighbours. */
import type { CellGrid } from './cell-grid.ts';

/** Cells that hang together by their sides and are of one class. */
export interface ZonePatches {
  /** Patch of each cell; −1 where there is no surface. */
  readonly patchOf: Int32Array;
  /** Class and number of cells of each patch. */
  readonly classes: Int32Array;
  readonly cells: Int32Array;
  /** Patches that were given away. */
  readonly merged: number;
}

interface Patch {
  klass: number;
  cells: number;
  /** Cell sides shared with each neighbour. */
  borders: Map<number, number>;
}

/**
 * Patches of `classOfCell` (−1 none). A patch of fewer than `leastCells` goes to the neighbour with which it shares the
 * longest border (the larger, then the earlier one, where two are alike), the smallest patch first; what then hangs together
 * in one class is one. A small patch without neighbours stays.
 */
export function zonePatches(grid: CellGrid, classOfCell: Int32Array, leastCells: number): ZonePatches {
  const first = components(grid, classOfCell);
  const patches = patchesOf(grid, classOfCell, first.patchOf, first.count);
  const parent = Int32Array.from(patches.keys());
  const merged = mergeSmall(patches, parent, leastCells);
  const number = new Map<number, number>();
  const patchOf = first.patchOf.map((patch) => {
    if (patch < 0) return -1;
    const root = rootOf(parent, patch);
    const known = number.get(root) ?? number.size;
    number.set(root, known);
    return known;
  });
  const roots = [...number.keys()];
  return {
    patchOf,
    classes: Int32Array.from(roots, (root) => patches[root].klass),
    cells: Int32Array.from(roots, (root) => patches[root].cells),
    merged,
  };
}

function components(grid: CellGrid, classOfCell: Int32Array): { patchOf: Int32Array; count: number } {
  const { columns } = grid;
  const patchOf = new Int32Array(classOfCell.length).fill(-1);
  const stack: number[] = [];
  let count = 0;
  for (let seed = 0; seed < classOfCell.length; seed++) {
    if (classOfCell[seed] < 0 || patchOf[seed] >= 0) continue;
    patchOf[seed] = count;
    stack.push(seed);
    for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
      const column = cell % columns;
      const take = (next: number) => {
        if (patchOf[next] >= 0 || classOfCell[next] !== classOfCell[seed]) return;
        patchOf[next] = count;
        stack.push(next);
      };
      if (column > 0) take(cell - 1);
      if (column + 1 < columns) take(cell + 1);
      if (cell >= columns) take(cell - columns);
      if (cell + columns < classOfCell.length) take(cell + columns);
    }
    count++;
  }
  return { patchOf, count };
}

function patchesOf(grid: CellGrid, classOfCell: Int32Array, patchOf: Int32Array, count: number): Patch[] {
  const patches = Array.from({ length: count }, (): Patch => ({ klass: -1, cells: 0, borders: new Map() }));
  const share = (a: number, b: number) => {
    if (a < 0 || b < 0 || a === b) return;
    patches[a].borders.set(b, (patches[a].borders.get(b) ?? 0) + 1);
    patches[b].borders.set(a, (patches[b].borders.get(a) ?? 0) + 1);
  };
  for (let cell = 0; cell < patchOf.length; cell++) {
    const patch = patchOf[cell];
    if (patch < 0) continue;
    patches[patch].klass = classOfCell[cell];
    patches[patch].cells++;
    if ((cell + 1) % grid.columns > 0) share(patch, patchOf[cell + 1]);
    if (cell + grid.columns < patchOf.length) share(patch, patchOf[cell + grid.columns]);
  }
  return patches;
}

/** Merges until nothing small has a neighbour; answers how many patches were given away. */
function mergeSmall(patches: Patch[], parent: Int32Array, leastCells: number): number {
  const bySize: number[][] = Array.from({ length: Math.max(0, Math.ceil(leastCells)) }, () => []);
  patches.forEach(({ cells }, patch) => {
    if (cells < leastCells) bySize[cells].push(patch);
  });
  let merged = 0;
  for (let size = 1; size < bySize.length; size++) {
    for (const patch of bySize[size]) {
      if (parent[patch] !== patch || patches[patch].cells !== size) continue;
      const into = longestBorder(patches, patches[patch]);
      if (into === undefined) continue;
      merged++;
      patches[patch].klass = patches[into].klass;
      const root = unite(patches, parent, patch, into);
      // what is still small waits among the larger, for merging only makes patches grow
      const { cells } = patches[root];
      if (cells < leastCells) bySize[cells].push(root);
    }
  }
  return merged;
}

function longestBorder(patches: readonly Patch[], patch: Patch): number | undefined {
  let best: number | undefined;
  for (const [neighbour, sides] of patch.borders) {
    if (best === undefined) best = neighbour;
    const most = patch.borders.get(best) ?? 0;
    const isLonger = sides > most;
    const isLarger = sides === most && patches[neighbour].cells > patches[best].cells;
    const isEarlier = sides === most && patches[neighbour].cells === patches[best].cells && neighbour < best;
    if (isLonger || isLarger || isEarlier) best = neighbour;
  }
  return best;
}

/** Makes one patch of two of one class, and of all of that class that now touch it; answers its root. */
function unite(patches: Patch[], parent: Int32Array, a: number, b: number): number {
  const [root, gone] = patches[a].borders.size >= patches[b].borders.size ? [a, b] : [b, a];
  parent[gone] = root;
  patches[root].cells += patches[gone].cells;
  patches[root].borders.delete(gone);
  for (const [neighbour, sides] of patches[gone].borders) {
    if (neighbour === root) continue;
    const { borders } = patches[neighbour];
    borders.delete(gone);
    borders.set(root, (borders.get(root) ?? 0) + sides);
    patches[root].borders.set(neighbour, (patches[root].borders.get(neighbour) ?? 0) + sides);
  }
  patches[gone].borders = new Map();
  const same = [...patches[root].borders.keys()].find(
    (neighbour) => patches[neighbour].klass === patches[root].klass,
  );
  return same === undefined ? root : unite(patches, parent, root, same);
}

function rootOf(parent: Int32Array, patch: number): number {
  let root = patch;
  while (parent[root] !== root) {
    parent[root] = parent[parent[root]];
    root = parent[root];
  }
  return root;
}
