/** Which points go into exported files, and how fields are parted among them. */
export interface ExportChoice {
  /** `kept`: those that no rule caught; `all`: every point, with the rule that caught it. */
  readonly points: 'kept' | 'all';
  /** All fields in one file (when absent), or a folder for each field. */
  readonly files?: 'together' | 'each_field';
  /** With `each_field`: of this field alone. */
  readonly field?: string;
}
