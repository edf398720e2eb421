/** Which strips belong together in pairs or blocks: as the sheet says, else as they lie. */

/** One strip with a mean. */
export interface DesignStrip {
  readonly treatment: string;
  readonly replicate: string | undefined;
  /** Where it lies across the direction of travel, m. */
  readonly across_m: number;
}

export interface StripDesign {
  readonly treatments: readonly string[];
  readonly blocks: readonly string[];
  readonly blocks_from: 'sheet' | 'layout' | null;
  /** Some strips name a pair or block and others none. */
  readonly isPartlyNamed: boolean;
  /** By strip, from 0; a single block of all where strips are in none. */
  readonly treatment: Int32Array;
  readonly block: Int32Array;
}

/**
 * Blocks as they are named, where every strip names one. Else as strips lie: where, from one side of the field to the other,
 * each run of as many strips as there are treatments holds every treatment once, runs are blocks. Nothing of this looks at
 * yields. Else no blocks.
 */
export function stripDesign(strips: readonly DesignStrip[]): StripDesign {
  const treatments = [...new Set(strips.map(({ treatment }) => treatment))];
  const treatment = Int32Array.from(strips, (strip) => treatments.indexOf(strip.treatment));
  const named = strips.filter(({ replicate }) => replicate !== undefined).length;
  const base = { treatments, treatment, isPartlyNamed: named > 0 && named < strips.length };
  if (named > 0 && named === strips.length) {
    const blocks = [...new Set(strips.map(({ replicate }) => replicate ?? ''))];
    const block = Int32Array.from(strips, ({ replicate }) => blocks.indexOf(replicate ?? ''));
    if (blocks.length > 1) return { ...base, blocks, blocks_from: 'sheet', block };
  }
  const laid = blocksOfLayout(strips, treatments.length);
  if (laid !== undefined && named === 0) {
    const blocks = Array.from({ length: strips.length / treatments.length }, (_, b) => String(b + 1));
    return { ...base, blocks, blocks_from: 'layout', block: laid };
  }
  return { ...base, blocks: [], blocks_from: null, block: new Int32Array(strips.length) };
}

function blocksOfLayout(strips: readonly DesignStrip[], treatments: number): Int32Array | undefined {
  if (treatments < 2 || strips.length < 2 * treatments || strips.length % treatments !== 0) return undefined;
  const order = strips.map((_, k) => k).sort((a, b) => strips[a].across_m - strips[b].across_m || a - b);
  const block = new Int32Array(strips.length);
  for (let from = 0; from < order.length; from += treatments) {
    const run = order.slice(from, from + treatments);
    if (new Set(run.map((k) => strips[k].treatment)).size < treatments) return undefined;
    for (const k of run) block[k] = from / treatments;
  }
  return block;
}
