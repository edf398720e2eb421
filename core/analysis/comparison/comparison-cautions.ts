/** What stands against a comparison, in sentences. */
import { shownNames } from '../../shown-text.ts';
import type { ComparedStrip } from './comparison-result.ts';
import { USUAL_REPLICATES } from './comparison-words.ts';
import type { StripDesign } from './strip-design.ts';

/** More of a strip's points than this left out at its edges: drawn too narrow, or beside the passes. Ours. */
const MOST_AT_EDGES = 0.5;

/** `empty` are strips without a point that counts. */
export function comparisonCautions(
  strips: readonly ComparedStrip[],
  empty: readonly ComparedStrip[],
  design: StripDesign,
  isDisconnected: boolean,
): string[] {
  const cautions: string[] = [];
  const counts = design.treatments.map((name) => strips.filter(({ treatment }) => treatment === name).length);
  const fewest = Math.min(...counts);
  if (counts.length > 1 && fewest < 2)
    cautions.push(
      'A treatment with one strip has nothing to judge its scatter by: a difference between two strips may be one between two places. Lay out each treatment several times; points of one strip are no replicates of each other.',
    );
  else if (counts.length > 1 && fewest < USUAL_REPLICATES)
    cautions.push(
      `Each treatment stands in ${fewest} strips at least; 4 to 6 are usual (Exner & Thompson, Practical Farmers of Iowa), and fewer see large differences only.`,
    );
  if (isDisconnected)
    cautions.push(
      'Some treatments share no pair or block with the others, directly or through a third, so that they cannot be compared; mend the replicates of the strips.',
    );
  if (design.isPartlyNamed)
    cautions.push(
      'Some strips name a pair or block (replicate) and others none, so that none was used; name one for every strip.',
    );
  cautions.push(...missingCells(design));
  if (empty.length > 0) {
    const names = empty.map(({ treatment, block }) => `${treatment}${block === null ? '' : ` in ${block}`}`);
    const [who, it] =
      names.length === 1 ? [`A strip of ${names[0]} has`, 'it'] : [`${names.length} strips have`, 'them'];
    const which = names.length === 1 ? '' : ` (${shownNames(names)})`;
    cautions.push(
      `${who} no point that counts${which}: draw ${it} at least as wide as the cut and where the passes lie, or make the buffers smaller.`,
    );
  }
  const thin = strips.filter((strip) => {
    const { straddling, over_edge } = strip.left_out;
    return straddling + over_edge > MOST_AT_EDGES * (strip.points + straddling + over_edge);
  });
  if (thin.length > 0)
    cautions.push(
      `In ${thin.length} of ${strips.length} strips most cuts reach over the edge; their means rest on what is left. Draw strips along the passes, as wide as the cut or wider.`,
    );
  cautions.push(...machineCaution(strips, design.treatments));
  return cautions;
}

function missingCells({ blocks, treatments, treatment, block }: StripDesign): string[] {
  if (blocks.length === 0) return [];
  const held = new Set(Array.from(treatment, (t, k) => t * blocks.length + block[k]));
  const missing = blocks.length * treatments.length - held.size;
  if (missing === 0) return [];
  return [
    treatments.length === 2
      ? `${missing} ${missing === 1 ? 'pair lacks its' : 'pairs lack their'} partner and ${missing === 1 ? 'does' : 'do'} not count.`
      : `${missing} of ${blocks.length * treatments.length} cells are missing; means are adjusted for the blocks that they lack (least squares).`,
  ];
}

/** A machine that cut one treatment alone: its sensor's error looks like the treatment's. */
function machineCaution(strips: readonly ComparedStrip[], treatments: readonly string[]): string[] {
  const by = treatments.map((name) =>
    [...new Set(strips.filter(({ treatment }) => treatment === name).flatMap(({ machines }) => machines))]
      .sort()
      .join(', '),
  );
  if (new Set(by).size <= 1) return [];
  const list = treatments.map((name, k) => `${name} by ${by[k]}`).join('; ');
  return [
    `Treatments were not cut by the same machines (${list}): a difference between their sensors would look like one between treatments. Weigh the strips, or let each machine cut whole pairs.`,
  ];
}
