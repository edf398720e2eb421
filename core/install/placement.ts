/**
 * Where the beam goes: marks on the elevator column, and what the chosen place costs.
 *
 * Height: as far up as both sides can be reached, so that heaps have settled, and a pitch below the head shaft's wheel, where
 * grain is thrown off (common practice, no source). Depth: half the column's depth from its back, the middle of the grain
 * stream, where a slope lifts the heap as much on one side as it lowers it on the other. Where the chain runs through the
 * column it would stand in a beam through the middle all the time, so the beam goes behind it:
 *
 *   from_back = min(depth/2, chain_from_back − chain_thickness/2 − beam/2 − clearance)
 *
 * δ = depth/2 − from_back is then how far behind the middle the beam looks; it sees heaps δ·tan θ too high with the nose up
 * by θ (`beamOffset` of the flow stage corrects that where the log has tilt or centimetre heights).
 */
import { type DataError, failure, type Result, success } from '../errors.ts';
import type { BeamSheet, PaddleSheet } from '../season.ts';
import { BEAM_HEIGHT_MM } from '../signal/empty-level.ts';
import { type SlopeError, slopeErrors } from './placement-errors.ts';

/** What is measured on the machine; lengths in mm. Depth is back to front, width is the way of the beam. */
export interface PlacementSheet {
  /** Over the outside of the column. */
  readonly column_depth_mm: number;
  readonly column_width_mm: number;
  readonly paddle: PaddleSheet;
  /** Where the chain runs through the same column: its middle from the column's back, and its thickness back to front. */
  readonly chain?: { readonly from_back_mm: number; readonly thickness_mm: number };
  /** Highest place above the centre of the lower shaft at which one can work, on the outer and on the inner side. */
  readonly reach_outside_mm?: number;
  /** `null`: the inner side cannot be reached at all; the template wraps round the column. */
  readonly reach_inside_mm?: number | null;
  /** Lowest free place: above it no bracket, ladder or cover is in the way. */
  readonly free_from_mm?: number;
  /** Between the centres of the lower and the upper shaft. */
  readonly shafts_apart_mm?: number;
  /** Diameter of the light beam. */
  readonly beam_mm?: number;
  readonly chain_speed_m_s?: number;
}

/** What sets the height. */
export type HeightLimit = 'usual' | 'outside' | 'inside' | 'head';

export interface Placement {
  /** Above the centre of the lower shaft; the same on both faces, for the beam runs level across. */
  readonly height_mm: number;
  readonly height_limited_by: HeightLimit;
  /** From the outside of the column's back, the same on both faces. */
  readonly from_back_mm: number;
  /** How far behind the middle that is, and why. */
  readonly behind_middle_mm: number;
  readonly behind_because: 'middle' | 'chain';
  /** Between the full hole's edge and the chain, mm; undefined where no chain runs through the column. */
  readonly hole_to_chain_mm: number | undefined;
  /** Whether the inner side has to be marked without being seen. */
  readonly blind: boolean;
  readonly pilot_mm: number;
  readonly hole_mm: number;
  readonly beam_mm: number;
  /** Elevator's own share of the transport lag, height over chain speed, s; undefined without a speed. */
  readonly lag_share_s: number | undefined;
  /** Error by slope for the chosen offset … */
  readonly slope_errors: readonly SlopeError[];
  /** … and for each 5 mm that the bracket's slot is off beside it. */
  readonly slot_errors: readonly SlopeError[];
  /** Empty level that a running elevator should show here, dark share. */
  readonly empty_level: number;
  /** What to write into season.json. */
  readonly beam_sheet: BeamSheet;
  /** What is worth a word, in order. */
  readonly remarks: readonly string[];
}

const MM_PER_IN = 25.4;
/** Common practice, no source. */
export const USUAL_HEIGHT_MM = 62 * MM_PER_IN;
export const PILOT_MM = (5 / 32) * MM_PER_IN;
export const HOLE_MM = 0.75 * MM_PER_IN;
/** Between chain and beam, for chains swing; a choice of ours. */
export const CHAIN_CLEARANCE_MM = 6;
/** How far a beam that was centred by eye may be off. */
const SLOT_MM = 5;
/** Below this the heap on the first paddles above the boot has not settled; in pitches, a choice of ours. */
const SETTLED_PITCHES = 3;
/** Between the beam and the upper shaft's centre: the wheel and a pitch of paddles that tip; a choice of ours. */
const HEAD_MM = 150;

/** Marks for one machine; fails with one sentence where no place is left for the beam. */
export function placementOf(sheet: PlacementSheet): Result<Placement> {
  const wrong = wrongMeasure(sheet);
  if (wrong !== undefined) return failure(wrong);
  const beam_mm = sheet.beam_mm ?? BEAM_HEIGHT_MM;
  const { height_mm, limit } = heightOf(sheet);
  const lowest_mm = Math.max(sheet.free_from_mm ?? 0, SETTLED_PITCHES * sheet.paddle.pitch_mm);
  if (height_mm < lowest_mm) return failure(tooLow(height_mm, lowest_mm));
  const middle_mm = sheet.column_depth_mm / 2;
  const clear_mm = clearOfChain(sheet, beam_mm);
  const from_back_mm = Math.min(middle_mm, clear_mm);
  if (from_back_mm < beam_mm / 2 + CHAIN_CLEARANCE_MM) return failure(noPlace(sheet, beam_mm));
  const behind_middle_mm = middle_mm - from_back_mm;
  const placement: Omit<Placement, 'remarks'> = {
    height_mm,
    height_limited_by: limit,
    from_back_mm,
    behind_middle_mm,
    behind_because: behind_middle_mm > 0 ? 'chain' : 'middle',
    hole_to_chain_mm:
      sheet.chain && sheet.chain.from_back_mm - sheet.chain.thickness_mm / 2 - from_back_mm - HOLE_MM / 2,
    blind: sheet.reach_inside_mm === null,
    pilot_mm: PILOT_MM,
    hole_mm: HOLE_MM,
    beam_mm,
    lag_share_s: sheet.chain_speed_m_s === undefined ? undefined : height_mm / 1000 / sheet.chain_speed_m_s,
    slope_errors: slopeErrors(behind_middle_mm, sheet.paddle.pitch_mm),
    slot_errors: slopeErrors(SLOT_MM, sheet.paddle.pitch_mm),
    empty_level: (sheet.paddle.thickness_mm + beam_mm) / sheet.paddle.pitch_mm,
    beam_sheet: {
      above_lower_shaft_mm: tenths(height_mm),
      // the season's sheet counts from the back of the paddle, whose middle is that of the column
      from_back_mm: tenths(sheet.paddle.depth_mm / 2 - behind_middle_mm),
      height_mm: tenths(beam_mm),
    },
  };
  return success({ ...placement, remarks: remarksOn(placement, sheet) });
}

function heightOf(sheet: PlacementSheet): { height_mm: number; limit: HeightLimit } {
  const { reach_outside_mm, reach_inside_mm, shafts_apart_mm, paddle } = sheet;
  const limits: readonly (readonly [HeightLimit, number | undefined | null])[] = [
    ['outside', reach_outside_mm],
    ['inside', reach_inside_mm],
    ['head', shafts_apart_mm === undefined ? undefined : shafts_apart_mm - HEAD_MM - paddle.pitch_mm],
  ];
  const known = limits.flatMap(([limit, mm]) =>
    mm === undefined || mm === null ? [] : [{ limit, height_mm: mm }],
  );
  // nobody said how high one reaches: the usual height, unless the head is nearer
  if (reach_outside_mm === undefined && typeof reach_inside_mm !== 'number')
    known.unshift({ limit: 'usual', height_mm: USUAL_HEIGHT_MM });
  return known.reduce((lowest, one) => (one.height_mm < lowest.height_mm ? one : lowest));
}

function clearOfChain({ chain }: PlacementSheet, beam_mm: number): number {
  if (chain === undefined) return Number.POSITIVE_INFINITY;
  return chain.from_back_mm - chain.thickness_mm / 2 - beam_mm / 2 - CHAIN_CLEARANCE_MM;
}

function remarksOn(placement: Omit<Placement, 'remarks'>, sheet: PlacementSheet): string[] {
  const remarks: string[] = [];
  if (placement.height_limited_by === 'usual')
    remarks.push(
      'The height is the usual one: nobody has said how high both sides can be reached. Higher is better where both sides can be worked on safely.',
    );
  if (placement.height_limited_by === 'inside' || placement.height_limited_by === 'outside')
    remarks.push(
      `The ${placement.height_limited_by === 'inside' ? 'inner' : 'outer'} side, as far up as it can be reached, sets the height.`,
    );
  if (placement.height_limited_by === 'head')
    remarks.push(
      'The head of the elevator sets the height: nearer to it the paddles tip and throw the grain off.',
    );
  if (placement.behind_because === 'chain')
    remarks.push(
      `The chain would stand in a beam through the middle, so the mark is ${placement.behind_middle_mm.toFixed(1)} mm behind it. Write from_back_mm into season.json: slopes are corrected by it.`,
    );
  const { hole_to_chain_mm } = placement;
  if (hole_to_chain_mm !== undefined && hole_to_chain_mm < CHAIN_CLEARANCE_MM)
    remarks.push(
      `Only ${Math.max(0, hole_to_chain_mm).toFixed(1)} mm are left between the full hole's edge and the line of the chain: drill each wall from its own outside with the depth stop set, never across the column.`,
    );
  if (placement.blind)
    remarks.push(
      'The inner side cannot be reached with a rule: print the template, which wraps round the back and carries the mark over.',
    );
  if (Math.abs(sheet.paddle.depth_mm - sheet.column_depth_mm) > 0.35 * sheet.column_depth_mm)
    remarks.push(
      'Paddle and column differ much in depth. Check both measures, and that the mark lies in the middle of the grain, not of another duct.',
    );
  return remarks;
}

/** Measures that no elevator has, by name; usually another unit. */
function wrongMeasure(sheet: PlacementSheet): DataError | undefined {
  const { paddle, chain } = sheet;
  const ranges: readonly (readonly [string, number | undefined | null, number, number])[] = [
    ['the depth of the column', sheet.column_depth_mm, 40, 600],
    ['the width of the column', sheet.column_width_mm, 60, 800],
    ['the pitch of the paddles', paddle.pitch_mm, 50, 600],
    ['the width of a paddle', paddle.width_mm, 50, 800],
    ['the depth of a paddle', paddle.depth_mm, 30, 600],
    ['the thickness of a paddle', paddle.thickness_mm, 1, 60],
    ['the diameter of the beam', sheet.beam_mm, 0.5, 40],
    ['the reach on the outer side', sheet.reach_outside_mm, 200, 6000],
    ['the reach on the inner side', sheet.reach_inside_mm, 200, 6000],
    ['the lowest free place', sheet.free_from_mm, 0, 6000],
    ['the distance between the shafts', sheet.shafts_apart_mm, 500, 8000],
    ['the chain from the back', chain?.from_back_mm, 0, sheet.column_depth_mm],
    ['the thickness of the chain', chain?.thickness_mm, 1, 150],
  ];
  for (const [what, mm, least, most] of ranges) {
    if (mm === undefined || mm === null || (mm >= least && mm <= most)) continue;
    return problem(
      'measure_out_of_range',
      `${capital(what)} is given as ${mm} mm; between ${least} and ${most} mm is possible. Check the measure and its unit (${what} in inches is the usual mistake).`,
    );
  }
  const speed = sheet.chain_speed_m_s;
  if (speed !== undefined && !(speed >= 0.3 && speed <= 6))
    return problem(
      'measure_out_of_range',
      `The chain speed is given as ${speed} m/s; between 0.3 and 6 m/s is possible.`,
    );
  return undefined;
}

function tooLow(height_mm: number, lowest_mm: number): DataError {
  return problem(
    'no_height',
    `The column can be reached up to ${height_mm.toFixed(0)} mm above the lower shaft, but the beam needs at least ${lowest_mm.toFixed(0)} mm so that heaps have settled and the place is free. Work from a safe platform, or open the cover that is in the way.`,
  );
}

function noPlace({ chain, column_depth_mm }: PlacementSheet, beam_mm: number): DataError {
  return problem(
    'no_place_beside_chain',
    `With the chain ${chain?.from_back_mm ?? 0} mm from the back of a column of ${column_depth_mm} mm no place is left behind it for a beam of ${beam_mm} mm. Measure the chain's distance from the back again, or choose the column in which only the paddles run.`,
  );
}

function problem(code: string, text: string): DataError {
  return { code, source: 'placement', text };
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function tenths(mm: number): number {
  return Math.round(10 * mm) / 10;
}
