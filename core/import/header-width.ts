/** A first guess at a header's width, for a machine that nobody has measured yet. */

import { ftFromM } from '../units.ts';
import type { LogOutline } from './log-outline.ts';
import { passSpacing, type SpacedRows } from './pass-spacing.ts';
import { isHarvesting, joinSamples } from './track-samples.ts';

export interface HeaderWidthGuess {
  readonly width_m: number;
  /** Where it comes from: one clause. */
  readonly reason: string;
}

/** 30 ft: a width in the middle of those in use, where nothing tells. */
const COMMON_M = 9.144;
/** Widths in which headers are built, ft: six to sixteen rows of 30 in, platforms of 15 to 60 ft. Common practice, no source. */
const BUILT_FT = [15, 16, 18, 20, 22, 24, 25, 28, 30, 32, 35, 36, 40, 42, 45, 50, 60];
const M_PER_FT = 1 / ftFromM(1);
/** Passes overlap by up to this. */
const OVERLAP_M = 0.7;

/** `others`: logs of other machines, whose passes may lie between. From the width that the rows tell; else the built width just above the distance between passes; else a common one. */
export function guessHeaderWidth(
  logs: readonly LogOutline[],
  others: readonly LogOutline[],
): HeaderWidthGuess {
  const told = logs.map(({ width_m }) => width_m).filter((width_m) => width_m > 0);
  if (told.length > 0) {
    const width_m = rounded(Math.max(...told));
    return { width_m, reason: `${width_m} m, the full width in the rows of its logs` };
  }
  const spacing = passSpacing(
    rowsOf(logs),
    others.map((log) => rowsOf([log])),
  );
  if (spacing === undefined)
    return { width_m: COMMON_M, reason: `${COMMON_M} m, a common width, for want of passes side by side` };
  const { spacing_m } = spacing;
  const built_m = BUILT_FT.map((width_ft) => width_ft * M_PER_FT).find((width_m) => width_m >= spacing_m);
  const near = built_m !== undefined && built_m - spacing_m <= OVERLAP_M;
  const width_m = rounded(near ? built_m : spacing_m);
  return { width_m, reason: `${width_m} m, as its passes lie ${spacing_m.toFixed(1)} m apart` };
}

function rowsOf(logs: readonly LogOutline[]): SpacedRows {
  const samples = joinSamples(logs.map((log) => log.samples));
  return { ...samples, harvesting: (i) => isHarvesting(samples, i) };
}

function rounded(width_m: number): number {
  return Math.round(width_m * 1000) / 1000;
}
