/** What the window asks of the host before the first acre, and what it gets. */
import type { BeamCheck } from './beam-check.ts';
import type { CheckMeasures } from './check-measures.ts';
import type { LengthUnits } from './inch-fraction.ts';
import type { PlacementSheet } from './placement.ts';

export interface SeasonLogCheckBody {
  /** A log of the season, as its sheet lists it. */
  readonly path: string;
  readonly measures: CheckMeasures;
}

export interface BeamCheckReply {
  /** For `KeepSheetBody.record`, while the program runs and until a few more logs have been judged. */
  readonly record: string;
  readonly check: BeamCheck;
  /** Said on the record. */
  readonly generated_by: string;
}

/** Which sheet to write into the season's `out/`; the host works it out itself. */
export type KeepSheetBody = PlacementKeepBody | RecordKeepBody;

export interface PlacementKeepBody {
  readonly kind: 'placement';
  /** Name of the machine, as on the sheet. */
  readonly machine: string;
  readonly units: LengthUnits;
  readonly paper: 'letter' | 'a4';
  readonly measures: PlacementSheet;
}

export interface RecordKeepBody {
  readonly kind: 'record';
  readonly machine: string;
  readonly paper: 'letter' | 'a4';
  readonly record: string;
}
