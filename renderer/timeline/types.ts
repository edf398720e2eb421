/** What the timeline is given and what it tells. Times in seconds from the season's epoch. */
import type { UnitSystem } from '../../core/export/report/figures.ts';
import type { FieldColumns, RowMask, Theme, TimeSpan } from '../map/types.ts';

/** Tracks of the timeline, from top to bottom. */
export type TrackName = 'mass_flow' | 'yield' | 'speed' | 'moisture' | 'cut_width' | 'empty_level';

/** A load as a band: what passed the beam between two moments. */
export interface LoadBand {
  /** Index into `ResultReply.loads`; handed back when the band is dragged. */
  readonly load: number;
  readonly ticket: string;
  readonly start_s: number;
  readonly end_s: number;
  readonly state?: 'good' | 'look' | 'mend';
  /** Name of the machine, where more than one is shown. */
  readonly machine?: string;
}

/** Dark fraction of an empty paddle over time, where it was read. */
export interface EmptyLevels {
  readonly t_s: Float64Array;
  readonly dark_fraction: Float64Array;
}

export interface TimelineProps {
  /** Fields one after another, or one; rows in time order. */
  readonly columns: readonly FieldColumns[];
  readonly loads: readonly LoadBand[];
  readonly empties?: EmptyLevels | null;
  readonly theme: Theme;
  readonly units: UnitSystem;
  readonly bushel_kg?: number;
  readonly epoch_utc_s: number;
  readonly machines?: readonly string[];
  readonly tracks?: readonly TrackName[];
  /** Selected stretch of time, drawn as a band and handed to the map. */
  readonly span: TimeSpan | null;
  readonly onSpan?: (span: TimeSpan | null) => void;
  /** Rows selected on the map (of `columns[0]` when one field is shown), drawn as ticks along the foot. */
  readonly selection?: RowMask | null;
  /** Moment under the pointer elsewhere, and here. */
  readonly hover_s?: number | null;
  readonly onHover?: (
    hover: { readonly field: number; readonly row: number; readonly t_s: number } | null,
  ) => void;
  /** A load band was clicked. */
  readonly onLoadSelect?: (load: number) => void;
  /** A load band was dragged to new ends; absent: bands cannot be dragged. */
  readonly onLoadSpanChange?: (load: number, span: TimeSpan) => void;
}
