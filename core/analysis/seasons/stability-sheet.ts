/** How several seasons of one field are put together, as the sheet says it. */

export interface StabilitySheet {
  /** Mean over the seasons, % of the field's mean, from which on a place is high; 100 when absent. */
  readonly high_pct?: number;
  /** Coefficient of variation over the seasons, %, above which a place is unstable; 30 when absent. */
  readonly unstable_cv_pct?: number;
  /** Side of the cells; the coarsest of the seasons' own when absent. */
  readonly cell_m?: number;
}
