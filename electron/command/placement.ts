/** `sheaflight placement`: measures of the elevator in, marks and a sheet to print out. */
import { join } from 'node:path';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { placementSheet } from '../../core/export/sheets/placement-sheet.ts';
import type { Paper } from '../../core/export/sheets/sheet-page.ts';
import { type LengthUnits, lengthFromText, lengthText } from '../../core/install/inch-fraction.ts';
import { type Placement, type PlacementSheet, placementOf } from '../../core/install/placement.ts';
import { paddleInColumn, USUAL_CHAIN_MM } from '../../core/install/usual-measures.ts';
import type { MachineSheet } from '../../core/season.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { machineOf } from './beam-check.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { refuse } from './refuse.ts';
import type { Streams } from './streams.ts';

export interface PlacementChoices {
  readonly depth: string;
  readonly width: string;
  readonly season?: string;
  readonly machine?: string;
  readonly pitch?: string;
  readonly paddleWidth?: string;
  readonly paddleDepth?: string;
  readonly thickness?: string;
  readonly beam?: string;
  readonly chainFromBack?: string;
  readonly chainThickness?: string;
  readonly reachOutside?: string;
  /** A length, or `none`. */
  readonly reachInside?: string;
  readonly freeFrom?: string;
  readonly shafts?: string;
  readonly chainSpeed?: number;
  readonly units?: LengthUnits;
  readonly paper?: Paper;
  readonly out?: string;
  readonly json?: boolean;
}

export const PLACEMENT_FILE = 'placement.html';

export async function placement(choices: PlacementChoices, streams: Streams): Promise<ExitCode> {
  const named = await machineOf(choices);
  if (!named.ok) return refuse(named, streams);
  const { machine, units } = named.value;
  const sheet = sheetFrom(machine, { ...choices, units });
  if (!sheet.ok) return refuse(sheet, streams);
  const placed = placementOf(sheet.value);
  if (!placed.ok) return refuse(placed, streams);
  const text = placementSheet(placed.value, sheet.value, {
    machine: machine?.name ?? 'Clean-grain elevator',
    units,
    paper: choices.paper ?? (units === 'us' ? 'letter' : 'a4'),
  });
  const out = choices.out ?? (choices.season === undefined ? '.' : join(choices.season, 'out'));
  const written = await writeFiles(out, [{ name: PLACEMENT_FILE, pieces: [text] }], { layer: streams.layer });
  if (!written.ok) return refuse(written, streams);
  if (choices.json) streams.out(`${JSON.stringify(placed.value, null, 2)}\n`);
  else {
    streams.out(placementText(placed.value, units));
    streams.out(`${written.value[0].path}\n`);
  }
  return EXIT.done;
}

function sheetFrom(
  machine: MachineSheet | undefined,
  choices: PlacementChoices & { readonly units: LengthUnits },
): Result<PlacementSheet> {
  const wrong: string[] = [];
  const mm = (text: string | undefined): number | undefined => {
    if (text === undefined) return undefined;
    const length_mm = lengthFromText(text, choices.units);
    if (Number.isNaN(length_mm)) wrong.push(text);
    return length_mm;
  };
  const column_depth_mm = mm(choices.depth) ?? Number.NaN;
  const column_width_mm = mm(choices.width) ?? Number.NaN;
  const paddle = machine?.paddle;
  const pitch_mm = mm(choices.pitch) ?? paddle?.pitch_mm;
  const thickness_mm = mm(choices.thickness) ?? paddle?.thickness_mm;
  const chainFromBack = mm(choices.chainFromBack);
  const sheet = {
    column_depth_mm,
    column_width_mm,
    reach_outside_mm: mm(choices.reachOutside),
    reach_inside_mm: choices.reachInside === 'none' ? null : mm(choices.reachInside),
    free_from_mm: mm(choices.freeFrom),
    shafts_apart_mm: mm(choices.shafts),
    beam_mm: mm(choices.beam) ?? machine?.beam?.height_mm,
    chain_speed_m_s: choices.chainSpeed,
    chain:
      chainFromBack === undefined
        ? undefined
        : { from_back_mm: chainFromBack, thickness_mm: mm(choices.chainThickness) ?? USUAL_CHAIN_MM },
  };
  const width_mm = mm(choices.paddleWidth) ?? paddle?.width_mm;
  const depth_mm = mm(choices.paddleDepth) ?? paddle?.depth_mm;
  if (wrong.length > 0)
    return failure(problem(`${wrong[0]} is no length; write for example 3.5in, 3 1/2in or 89mm.`));
  if (pitch_mm === undefined || thickness_mm === undefined) {
    const text =
      'Pitch and thickness of the paddles are missing: give --season with a machine that has "paddle", or --pitch and --thickness.';
    return failure(problem(text));
  }
  const measured = { pitch_mm, thickness_mm, width_mm, depth_mm };
  return success({ ...sheet, paddle: paddleInColumn(measured, sheet) });
}

function problem(text: string): DataError {
  return { code: 'wrong_choice', source: 'placement', text };
}

function placementText(placed: Placement, units: LengthUnits): string {
  const lag =
    placed.lag_share_s === undefined
      ? ''
      : `Elevator's own share of the lag: ${placed.lag_share_s.toFixed(2)} s\n`;
  return `Above the centre of the lower shaft: ${lengthText(placed.height_mm, units)}
From the outside of the column's back: ${lengthText(placed.from_back_mm, units, 32)}
Pilot hole ${lengthText(placed.pilot_mm, units, 32)}, full hole ${lengthText(placed.hole_mm, units, 32)}
${lag}For season.json: "beam": ${JSON.stringify(placed.beam_sheet)}
${placed.remarks.map((remark) => `! ${remark}\n`).join('')}Engine off, key out, everything blocked before any step; the sheet has them all with their cautions:
`;
}
