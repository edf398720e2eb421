/** Plain-data props of the charts. Masses in kg, times in s; NaN or null = absent. Every chart is an SVG figure with a text alternative. */

import type { CalibrationDiagnostics } from '../../core/calibration-result.ts';
import type { UnitSystem } from '../../core/export/report/figures.ts';
import type { CalibrationSummary, LedgerRow, LoadSpan } from '../../core/result.ts';
import type { FlowBins } from './flow-cover.ts';
import type { ResidualAgainst } from './residuals.ts';

export interface CalibrationChartProps {
  readonly calibration: CalibrationSummary;
  readonly units: UnitSystem;
  readonly selectedTicket?: string | null;
  readonly onSelectTicket?: (ticket: string) => void;
}

export interface ResidualChartProps extends CalibrationChartProps {
  readonly against: ResidualAgainst;
  /** When each load's grain passed. */
  readonly spans: readonly LoadSpan[];
}

export interface FlowCoverChartProps {
  readonly bins: FlowBins;
  readonly diagnostics: CalibrationDiagnostics;
  readonly units: UnitSystem;
}

/** Leave-one-out errors of the loads as bars about zero. */
export interface LeaveOneOutProps {
  readonly calibration: CalibrationSummary;
  readonly selectedTicket?: string | null;
  readonly onSelectTicket?: (ticket: string) => void;
}

/** A quantity to be made small over the lag. */
export interface LagSeries {
  /** E.g. `Ends of passes`, `Neighbours`. */
  readonly label: string;
  readonly lag_s: readonly number[];
  /** Any scale; drawn between its own least and greatest. */
  readonly cost: readonly number[];
  /** Where it is least, and the standard error of that. */
  readonly best_s: number | null;
  readonly se_s: number | null;
}

export interface LagCurveProps {
  readonly series: readonly LagSeries[];
  /** The lag in use, s. */
  readonly applied_s: number;
  readonly method: string;
  /** What the line of that lag is called; `in use` when absent. */
  readonly word?: string;
  /** Every lag on the way while the line of the lag in use is dragged, and by its keys; absent: it stays. */
  readonly onLagDrag?: (lag_s: number) => void;
}

export interface YieldHistogramProps {
  readonly yield_kg_m2: Float64Array;
  /** Weights: m² of fresh ground. */
  readonly area_m2: Float64Array;
  readonly screened_by: Uint8Array;
  readonly units: UnitSystem;
  readonly bushel_kg?: number;
}

export interface ScreeningCount {
  readonly rule: string;
  readonly points: number;
  readonly mass_kg: number;
}

export interface ScreeningBarsProps {
  readonly counts: readonly ScreeningCount[];
  readonly total_points: number;
  readonly total_kg: number;
  readonly units: UnitSystem;
  readonly show: 'points' | 'mass';
  readonly selectedRule?: string | null;
  readonly onSelectRule?: (rule: string | null) => void;
}

/** A thread of the mass ribbon: grain that leaves the map by one reason, or the grain on the map. */
export type MassThread = 'mapped' | 'outside_field' | 'not_cutting' | `screened:${string}`;

export interface MassRibbonProps {
  readonly ledger: readonly LedgerRow[];
  /** Calibrated total and half its 95 % interval, kg; null where there are no tickets. */
  readonly total_kg: number | null;
  readonly total_plus_minus_kg: number | null;
  readonly units: UnitSystem;
  readonly bushel_kg?: number;
  readonly selected?: MassThread | null;
  readonly onSelect?: (thread: MassThread | null) => void;
  readonly onHover?: (thread: MassThread | null) => void;
}
