/**
 * What the window knows. Two scopes that never mix: the document's (season, result, history), which only the host
 * changes, and the view's (open stage, selection, zoom), which is never saved.
 */

import type { SeasonEdit } from '../../core/edits/season-edit.ts';
import type {
  ErrorReply,
  ExportReply,
  HomeReply,
  ImportReport,
  JobReply,
  ResultReply,
  SeasonReply,
} from '../../core/host-contract.ts';
import type { FieldPoints, Summary } from '../../core/result.ts';
import type { MassThread } from '../charts/types.ts';
import { FIRST_FITTING, type Fitting } from '../first-acre/fitting.ts';
import type {
  ClassChoice,
  LonLatRing,
  MapQuantity,
  MapTool,
  RampName,
  RowMask,
  Theme,
  TimeSpan,
} from '../map/types.ts';
import type { UnitSystem } from '../text/quantities.ts';
import type { Preview } from './previews.ts';

/** The stages of the stage line that have evidence to show, in the order of the data's way. */
export const STAGES = [
  'logs',
  'fill',
  'flow',
  'lag',
  'ground',
  'screened',
  'loads',
  'yield',
  'surface',
  'deliver',
] as const;
export type Stage = (typeof STAGES)[number];

export interface View {
  readonly stage: Stage;
  /** Name of the field on the map; null: the first. */
  readonly field: string | null;
  readonly theme: Theme;
  /** Shown at once while the host writes the choice down; null: the document's. */
  readonly units: UnitSystem | null;
  readonly colourBy: MapQuantity;
  readonly ramp: RampName;
  readonly classes: ClassChoice;
  readonly drawAs: 'swaths' | 'points';
  readonly tool: MapTool;
  readonly selection: RowMask | null;
  readonly span: TimeSpan | null;
  readonly compare: 'off' | 'split' | 'difference';
  readonly thread: MassThread | null;
  readonly ticket: string | null;
  readonly isOverview: boolean;
  /** Before the first acre: whether that place is shown, and what stands in it. */
  readonly isFitting: boolean;
  readonly fitting: Fitting;
}

/** A result with the columns that have been fetched so far, by place of the field. */
export interface Built {
  readonly reply: ResultReply;
  readonly points: ReadonlyMap<number, FieldPoints>;
}

/** The result before the last change, to show what the change did. */
export interface Before {
  /** Name of the change, as in the history. */
  readonly change: string;
  readonly summary: Summary;
  readonly points: ReadonlyMap<number, FieldPoints>;
}

export interface SessionState {
  readonly phase: 'starting' | 'home' | 'season';
  readonly home: HomeReply | null;
  readonly season: SeasonReply | null;
  readonly built: Built | null;
  readonly before: Before | null;
  /** A change that is tried, not made; then `built` is what would come of it, and `before` what is kept. */
  readonly preview: Preview | null;
  /** The change that was last asked to be tried, also while it is being worked out. */
  readonly tried: SeasonEdit | null;
  /** Rings of the field boundaries, by path of the file. */
  readonly outlines: ReadonlyMap<string, readonly LonLatRing[]>;
  readonly job: JobReply | null;
  /** What is being sent, e.g. `copying in combine.log`; null when nothing is. */
  readonly sending: string | null;
  /** Why the last thing asked for was not done. */
  readonly trouble: ErrorReply | null;
  readonly imported: ImportReport | null;
  readonly exported: ExportReply | null;
  readonly view: View;
}

export const FIRST_VIEW: View = {
  stage: 'yield',
  field: null,
  theme: 'light',
  units: null,
  colourBy: 'yield',
  ramp: 'viridis',
  classes: { method: 'round' },
  drawAs: 'swaths',
  tool: 'pan',
  selection: null,
  span: null,
  compare: 'off',
  thread: null,
  ticket: null,
  isOverview: false,
  isFitting: false,
  fitting: FIRST_FITTING,
};

export const FIRST_STATE: SessionState = {
  phase: 'starting',
  home: null,
  season: null,
  built: null,
  before: null,
  preview: null,
  tried: null,
  outlines: new Map(),
  job: null,
  sending: null,
  trouble: null,
  imported: null,
  exported: null,
  view: FIRST_VIEW,
};

/** The units to show: the choice just made, else the document's, else metric. */
export function unitsOf({ view, season }: SessionState): UnitSystem {
  return view.units ?? season?.document.units ?? 'metric';
}

/** Place of the shown field in the result; −1 when there is none. */
export function fieldIndexOf({ view, built }: SessionState): number {
  const fields = built?.reply.points ?? [];
  const index = fields.findIndex(({ field }) => field === view.field);
  return index < 0 ? (fields.length > 0 ? 0 : -1) : index;
}

export function isWorking({ job, sending }: SessionState): boolean {
  return sending !== null || job?.state === 'queued' || job?.state === 'running';
}

/** Units are a matter of showing: they change no figure. */
export function figuresMayDiffer(before: SeasonReply, after: SeasonReply): boolean {
  const { units: _before, ...was } = before.document;
  const { units: _after, ...is } = after.document;
  return JSON.stringify(was) !== JSON.stringify(is);
}
