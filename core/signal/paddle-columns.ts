/**
 * The paddles of one run in a form fit for seasons of millions: nine bytes a paddle, and nothing lost, for loggers count whole
 * microseconds.
 */

/** One row a paddle (or a short stretch of missed ones), in time order; runs of rows without a stop are spells. */
export interface PaddleColumns {
  /** First row of each running spell, ascending; the elevator stood before it, and the row has no period. */
  readonly spell_row: Int32Array;
  /** Counter of that row's trailing edge, µs. */
  readonly spell_us: Float64Array;
  /** Time since the trailing edge before, µs; 0 in the first row of a spell. */
  readonly step_us: Uint32Array;
  /** Dark time that was seen in it, µs. */
  readonly dark_us: Uint32Array;
  /** Paddles that passed in the period: 1, or more where trailing edges were missed. */
  readonly slots: Uint8Array;
  /** Rows whose dark time a lost edge hides, ascending. */
  readonly hidden_row: Int32Array;
}

/** Counter of each row's trailing edge, µs. */
export function trailingEdges({ spell_row, spell_us, step_us }: PaddleColumns): Float64Array {
  const tick_us = new Float64Array(step_us.length);
  for (let spell = 0; spell < spell_row.length; spell++) {
    const end = spell + 1 < spell_row.length ? spell_row[spell + 1] : step_us.length;
    let at_us = spell_us[spell];
    for (let row = spell_row[spell]; row < end; row++) {
      at_us += step_us[row];
      tick_us[row] = at_us;
    }
  }
  return tick_us;
}

/** Seconds since the trailing edge before, one a row; NaN in the first row of a spell. Written into a column, which is returned. */
export function periodsOf(
  { spell_row, step_us }: PaddleColumns,
  period_s = new Float64Array(step_us.length),
): Float64Array {
  for (let row = 0; row < period_s.length; row++) period_s[row] = step_us[row] * 1e-6;
  for (const row of spell_row) period_s[row] = Number.NaN;
  return period_s;
}

/** Dark share of each period, one paddle's worth (0..1); NaN where a lost edge hides it and in the first row of a spell. Written into a column, which is returned. */
export function darkFractions(
  { spell_row, step_us, dark_us, slots, hidden_row }: PaddleColumns,
  dark_fraction = new Float64Array(step_us.length),
): Float64Array {
  for (let row = 0; row < dark_fraction.length; row++) {
    const dark_s = dark_us[row] * 1e-6;
    const period_s = step_us[row] * 1e-6;
    dark_fraction[row] = slots[row] === 1 ? dark_s / period_s : sharedDark(dark_s, period_s, slots[row]);
  }
  for (const row of hidden_row) dark_fraction[row] = Number.NaN;
  for (const row of spell_row) dark_fraction[row] = Number.NaN;
  return dark_fraction;
}

/**
 * One paddle's dark fraction when several passed in the period. Where the beam stayed dark across the missed edges (heaps
 * that touch: the sensor is saturated) the whole dark time is theirs; where only one paddle's dark time was seen, the
 * others are taken to have looked the same.
 */
function sharedDark(dark_s: number, period_s: number, slots: number): number {
  const slot_s = period_s / slots;
  return dark_s > slot_s ? dark_s / period_s : dark_s / slot_s;
}

/** Rows kept in one piece while the length is not known, so that growing copies nothing. */
const PIECE_ROWS = 1 << 16;

/** Paddles as they come, row by row. */
export class PaddleBuilder {
  readonly #spellRow: number[] = [];
  readonly #spell_us: number[] = [];
  readonly #hiddenRow: number[] = [];
  #steps: Uint32Array[] = [];
  #darks: Uint32Array[] = [];
  #slots: Uint8Array[] = [];
  #step = new Uint32Array(0);
  #dark = new Uint32Array(0);
  #slot = new Uint8Array(0);
  /** Rows in the piece at hand. */
  #filled = 0;

  /** The first paddle of a spell, with its trailing edge at a counter. */
  beginSpell(trailing_us: number): void {
    this.#spellRow.push(this.#rows());
    this.#spell_us.push(trailing_us);
    this.add(0, 0, 1);
  }

  /** A paddle whose dark time is hidden. */
  addHidden(step_us: number, slots: number): void {
    this.#hiddenRow.push(this.#rows());
    this.add(step_us, 0, slots);
  }

  add(step_us: number, dark_us: number, slots: number): void {
    if (this.#filled === this.#step.length) this.#nextPiece();
    this.#step[this.#filled] = step_us;
    this.#dark[this.#filled] = dark_us;
    this.#slot[this.#filled++] = slots;
  }

  finish(): PaddleColumns {
    const rows = this.#rows();
    const step_us = joined(this.#steps, new Uint32Array(rows));
    this.#steps = [];
    const dark_us = joined(this.#darks, new Uint32Array(rows));
    this.#darks = [];
    const slots = joined(this.#slots, new Uint8Array(rows));
    this.#slots = [];
    return {
      spell_row: Int32Array.from(this.#spellRow),
      spell_us: Float64Array.from(this.#spell_us),
      step_us,
      dark_us,
      slots,
      hidden_row: Int32Array.from(this.#hiddenRow),
    };
  }

  #rows(): number {
    return Math.max(0, this.#steps.length - 1) * PIECE_ROWS + this.#filled;
  }

  #nextPiece(): void {
    this.#step = new Uint32Array(PIECE_ROWS);
    this.#dark = new Uint32Array(PIECE_ROWS);
    this.#slot = new Uint8Array(PIECE_ROWS);
    this.#steps.push(this.#step);
    this.#darks.push(this.#dark);
    this.#slots.push(this.#slot);
    this.#filled = 0;
  }
}

/** The pieces, the last one as far as it is filled, in one column. */
function joined<Column extends Uint32Array | Uint8Array>(pieces: readonly Column[], column: Column): Column {
  pieces.forEach((piece, k) => {
    column.set(piece.subarray(0, Math.min(PIECE_ROWS, column.length - k * PIECE_ROWS)), k * PIECE_ROWS);
  });
  return column;
}
