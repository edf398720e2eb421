/** What the map is given and what it tells: the props of `FieldMap`. Lengths in metres, angles in degrees, times in seconds from the season's epoch. */
import type { BaseMapChoice } from '../../core/base-map.ts';
import type { UnitSystem } from '../../core/export/report/figures.ts';
import type { FieldPoints } from '../../core/result.ts';

export type { UnitSystem };

/** Point columns of one field, decoded from the host's block; every array has one row a point, NaN = absent. */
export type FieldColumns = FieldPoints;

export type Theme = 'light' | 'dark';

/** Columns that the map can be coloured by. */
export type MapQuantity =
  | 'yield'
  | 'yield_se'
  | 'moisture'
  | 'mass_flow'
  | 'volume_flow'
  | 'speed'
  | 'cut_width'
  | 'fresh_area';

export type RampName = 'viridis' | 'cividis' | 'teal' | 'diverging';

/** `quantile` is type 7 of Hyndman & Fan 1996; `round` are equal steps with round limits; `given`: limits from elsewhere. */
export type ClassMethod =
  | 'continuous'
  | 'round'
  | 'equal'
  | 'quantile'
  | 'standard_deviation'
  | 'natural'
  | 'given';

export interface ClassChoice {
  readonly method: ClassMethod;
  /** Number of classes, 2 to 12; `continuous`, `round` and `standard_deviation` choose for themselves. */
  readonly count?: number;
  /** Of `given`: inner limits, ascending, in the stored column's unit, and what they are called. */
  readonly limits_si?: readonly number[];
  readonly words?: string;
}

/** One ring of a boundary, [longitude, latitude] in degrees; first and last may be the same place. */
export type LonLatRing = readonly (readonly [number, number])[];

/** One byte a row: 1 selected, 0 not. */
export type RowMask = Uint8Array;

export interface TimeSpan {
  readonly start_s: number;
  readonly end_s: number;
}

/** How a drag on the map selects; `pan` moves the map, `boundary` draws the field's outline. */
export type MapTool = 'pan' | 'lasso' | 'pass' | 'boundary';

export interface MapComparison {
  /** The state before; rows are matched by machine and time where the two differ in length. */
  readonly columns: FieldColumns;
  /** `split`: a line to drag, before on its left and after on its right; `difference`: after − before, centred on zero. */
  readonly show: 'split' | 'difference';
  /** Row by row the same place, as cells of one grid are; absent: rows are matched by machine and time. */
  readonly rows?: 'same';
  readonly before_label?: string;
  readonly after_label?: string;
}

/** How the map is coloured. */
export interface MapLook {
  /** Cut-width polygons, or a dot in the middle of each; default `swaths`. */
  readonly drawAs?: 'swaths' | 'points';
  readonly colourBy: MapQuantity;
  readonly ramp: RampName;
  readonly classes: ClassChoice;
}

export interface FieldMapProps extends MapLook {
  readonly columns: FieldColumns;
  /** Rows are cells of a surface, with sides of this length; absent: they are points. */
  readonly cell_m?: number;
  /** Rings of the boundary (outer and holes alike); empty when the field has none. */
  readonly outline: readonly LonLatRing[];
  readonly theme: Theme;
  readonly units: UnitSystem;
  /** Weight of a bushel of the crop, kg; absent or NaN when it has none (yields are then shown in lb/ac). */
  readonly bushel_kg?: number;
  /** Fades swaths by the standard error of their yield; default true. */
  readonly fadeUncertain?: boolean;
  readonly selection?: RowMask | null;
  /** Rows outside are drawn faintly. */
  readonly timeSpan?: TimeSpan | null;
  /** Row under the cursor elsewhere (timeline), shown as a ring on the map. */
  readonly hoverRow?: number | null;
  readonly tool?: MapTool;
  readonly compareWith?: MapComparison | null;
  readonly machines?: readonly string[];
  /** Tickets of the loads, as `load` counts through them. */
  readonly loads?: readonly { readonly ticket: string }[];
  /** For times of day in the readout; absent: no times are shown. */
  readonly epoch_utc_s?: number;
  /** The row under the pointer, or null when it left. */
  readonly onHover?: (row: number | null) => void;
  /** A finished selection; null when it was emptied. */
  readonly onSelect?: (mask: RowMask | null) => void;
  /** Keeps drawn rings as the field's boundary, and says whether they were taken; absent: there is no such tool. */
  readonly onBoundary?: (rings: readonly LonLatRing[]) => Promise<boolean>;
  /** The user's own map under the field, why it cannot be shown, and how another is chosen; absent: there is no choice. */
  readonly baseMap?: {
    readonly base_map: BaseMapChoice | null;
    readonly problem: string | null;
    readonly choose: (choice: BaseMapChoice | null) => Promise<string | null>;
  };
  readonly onToolChange?: (tool: MapTool) => void;
  /** Lets the legend change what is coloured and how; absent: the legend only tells. */
  readonly onLookChange?: (look: MapLook) => void;
  /** Moves limits of `given` classes, on the way too; absent: they stay where they are. */
  readonly onLimits?: (limits_si: readonly number[]) => void;
  /** More lines for the readout of a row, e.g. how the lag moved it. */
  readonly storyOf?: (row: number) => readonly string[];
}
