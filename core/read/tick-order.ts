/**
 * Puts the lines of a tick log in order: unwraps 32-bit counters, tells a line out of order from a restart.
 *
 * Each kind of line has columns of its own and needs order only among its kind. A sentence stamped when it began but
 * written when it ended, after the edges in between, is out of order and yet sound: it is counted and kept.
 * Otherwise the latest line is held back until the next one agrees with it. When the counter falls, what follows decides:
 * - it comes back to where it was: the lines between came late. An edge is put where it belongs if the states there show
 *   that it is missing; all else is left out;
 * - it goes on from the fallen line, which fits behind the line before the held one: the *held* line was wrong (two
 *   lines run together make a counter far ahead), and is left out;
 * - it goes on from the fallen line, and the fall was more than half of 2^32: the counter wrapped;
 * - it fell by a little, nearer to where it was than to where the run began: a buffer written twice or late. Lines are
 *   taken as late ones until the counter is back;
 * - else the logger restarted: a new run, unless it did so thousands of times before.
 */
import type { DamageTally } from './damage.ts';
import { LatestTicks } from './latest-ticks.ts';
import type { RunSink, RunStart, TickPayload } from './run-columns.ts';

const COUNTER_SPAN_US = 2 ** 32;
/** A fall of more than this is a wrap of a 32-bit counter (contract: a restart falls by much less than a wrap). */
const WRAP_FALL_US = COUNTER_SPAN_US / 2;
/** How far back a late buffer may reach; loggers write out every few seconds at the latest. A choice of ours. */
const LATE_REACH_US = 10e6;
/** So many lines in a row must go on from a fallen line before a restart is believed. */
const RESTART_LINES = 3;
/** A log of one day restarts a few times; a counter that falls more often is damage. A choice of ours. */
const MOST_RUNS = 3000;
const NO_STATE = -1;

/** A line whose place is not yet known. `dark` is −1 and `payload` set for anything but a beam edge. */
interface Line {
  readonly tick_us: number;
  readonly dark: number;
  readonly payload: TickPayload | undefined;
  readonly line: number;
}

export class TickOrder<R> {
  readonly #source: string;
  readonly #damage: DamageTally;
  readonly #startRun: RunStart<R>;
  readonly #runs: R[] = [];
  #run: RunSink<R>;
  #rows = 0;
  /** Added to the counter as written: 2^32 for every wrap so far. */
  #offset_us = 0;
  #firstTick_us = Number.NEGATIVE_INFINITY;
  /** The last line that was let through. */
  #passedTick_us = Number.NEGATIVE_INFINITY;
  #heldTick_us = Number.NEGATIVE_INFINITY;
  #heldDark = NO_STATE;
  #heldPayload: TickPayload | undefined;
  #heldLine = 0;
  /** Lines after a fall, ascending, until what follows explains them. */
  #fallen: Line[] = [];
  /** Held or let through. */
  #latest = new LatestTicks();

  constructor(source: string, damage: DamageTally, startRun: RunStart<R>) {
    this.#source = source;
    this.#damage = damage;
    this.#startRun = startRun;
    this.#run = startRun(damage);
  }

  /** A beam edge with the counter as written. */
  addEdge(written_us: number, dark: number, line: number): void {
    const tick_us = written_us + this.#offset_us;
    if (this.#latest.isRepeated(tick_us, dark)) {
      this.#damage.add('repeated_line', line);
    } else if (tick_us >= this.#heldTick_us && this.#fallen.length === 0) {
      this.#pass();
      this.#hold(tick_us, dark, undefined, line);
    } else {
      this.#sort({ tick_us, dark, payload: undefined, line });
    }
  }

  /** Edges of the lines from `firstLine` on, one a line: as `addEdge` of each, in one go as long as each simply follows. */
  addEdges(written_us: Float64Array, dark: Uint8Array, count: number, firstLine: number): void {
    for (let i = 0; i < count; ) {
      i = this.#passFollowing(written_us, dark, i, count, firstLine);
      if (i < count) this.addEdge(written_us[i], dark[i], firstLine + i);
      i++;
    }
  }

  /** Lets edges from `from` on through while they follow a held edge, later each; returns the first that does not. */
  #passFollowing(
    written_us: Float64Array,
    dark: Uint8Array,
    from: number,
    count: number,
    firstLine: number,
  ): number {
    if (this.#heldDark === NO_STATE || this.#fallen.length > 0) return from;
    const run = this.#run;
    const offset_us = this.#offset_us;
    let last_us = this.#heldTick_us;
    let i = from;
    for (; i < count && written_us[i] + offset_us > last_us; i++) last_us = written_us[i] + offset_us;
    if (i === from) return from;
    run.addEdge(this.#heldTick_us, this.#heldDark, this.#heldLine);
    const last = i - 1;
    if (run.addEdges !== undefined) {
      run.addEdges({ written_us, offset_us, dark, from, to: last, line: firstLine });
    } else {
      for (let k = from; k < last; k++) run.addEdge(written_us[k] + offset_us, dark[k], firstLine + k);
    }
    if (this.#rows === 0) this.#firstTick_us = this.#heldTick_us;
    this.#rows += i - from;
    this.#passedTick_us = last > from ? written_us[last - 1] + offset_us : this.#heldTick_us;
    this.#hold(last_us, dark[last], undefined, firstLine + last);
    return i;
  }

  /** Anything else with the counter as written. */
  addPayload(written_us: number, payload: TickPayload, line: number): void {
    const tick_us = written_us + this.#offset_us;
    if (tick_us >= this.#heldTick_us && this.#fallen.length === 0) {
      this.#pass();
      this.#hold(tick_us, NO_STATE, payload, line);
    } else {
      this.#sort({ tick_us, dark: NO_STATE, payload, line });
    }
  }

  /** Ends the file; gives the runs that have any row. */
  finish(): R[] {
    const [first] = this.#fallen;
    if (first) {
      if (this.#isWrap(first)) this.#wrap();
      else if (this.#fallen.length > 1) this.#restart();
      else if (this.#ranAhead(first) && this.#heldTick_us - first.tick_us > LATE_REACH_US) this.#dropHeld();
      else {
        this.#pass();
        this.#placeLate(first);
      }
    }
    this.#endRun();
    return this.#runs;
  }

  #hold(tick_us: number, dark: number, payload: TickPayload | undefined, line: number): void {
    this.#heldTick_us = tick_us;
    this.#heldDark = dark;
    this.#heldPayload = payload;
    this.#heldLine = line;
    this.#latest.note(tick_us, dark, payload);
  }

  /** Lets the held line through. */
  #pass(): void {
    if (this.#heldDark !== NO_STATE) {
      this.#run.addEdge(this.#heldTick_us, this.#heldDark, this.#heldLine);
    } else if (this.#heldPayload) {
      this.#run.addPayload(this.#heldTick_us, this.#heldPayload, this.#heldLine);
    } else {
      return;
    }
    this.#heldDark = NO_STATE;
    this.#heldPayload = undefined;
    if (this.#rows++ === 0) this.#firstTick_us = this.#heldTick_us;
    this.#passedTick_us = this.#heldTick_us;
  }

  #holdLine({ tick_us, dark, payload, line }: Line): void {
    this.#hold(tick_us, dark, payload, line);
  }

  /** A line that is proved late; the held line has been let through. */
  #placeLate({ tick_us, dark, payload, line }: Line): void {
    if (!payload) {
      const outcome = this.#run.insertEdge(tick_us, dark);
      this.#damage.add(outcome === 'repeated' ? 'repeated_line' : 'out_of_order', line);
      return;
    }
    this.#damage.add('out_of_order', line);
    if (tick_us >= this.#latest.of(payload) && this.#heldTick_us - tick_us <= LATE_REACH_US) {
      this.#run.addPayload(tick_us, payload, line);
      this.#latest.note(tick_us, dark, payload);
    }
  }

  /** A line that is not simply the next one. */
  #sort(line: Line): void {
    const fallen = this.#fallen;
    if (line.tick_us >= this.#heldTick_us) {
      this.#pass();
      for (const late of fallen) this.#placeLate(late);
      this.#fallen = [];
      this.#holdLine(line);
      return;
    }
    if (this.#isOvertaken(line)) {
      this.#damage.add('out_of_order', line.line);
      if (line.payload) this.#run.addPayload(line.tick_us, line.payload, line.line);
      else this.#run.addEdge(line.tick_us, line.dark, line.line);
      this.#latest.note(line.tick_us, line.dark, line.payload);
      return;
    }
    while (fallen.length > 0 && fallen[fallen.length - 1].tick_us > line.tick_us) {
      const { line: stray } = fallen.pop() as Line;
      this.#damage.add('out_of_order', stray);
    }
    if (fallen.length === 0) {
      if (this.#isLate(line)) this.#placeLate(line);
      else fallen.push(line);
      return;
    }
    const before = fallen[fallen.length - 1];
    if (line.dark !== NO_STATE && line.dark === before.dark && line.tick_us === before.tick_us) {
      this.#damage.add('repeated_line', line.line);
      return;
    }
    fallen.push(line);
    if (this.#isWrap(fallen[0])) this.#wrap();
    else if (this.#ranAhead(fallen[0])) this.#dropHeld();
    else if (fallen.length === RESTART_LINES) this.#restart();
  }

  /** The held line ran ahead: the fallen ones are the true continuation. */
  #dropHeld(): void {
    this.#damage.add('out_of_order', this.#heldLine);
    this.#latest.note(this.#passedTick_us, NO_STATE, this.#heldPayload);
    this.#heldTick_us = Number.NEGATIVE_INFINITY;
    this.#heldDark = NO_STATE;
    this.#heldPayload = undefined;
    this.#followFallen(0);
  }

  #wrap(): void {
    this.#offset_us += COUNTER_SPAN_US;
    this.#followFallen(COUNTER_SPAN_US);
  }

  #restart(): void {
    if (this.#runs.length >= MOST_RUNS) {
      for (const { line } of this.#fallen) this.#damage.add('out_of_order', line);
      this.#fallen = [];
      return;
    }
    const shift_us = -this.#offset_us;
    this.#endRun();
    this.#run = this.#startRun(this.#damage);
    this.#rows = 0;
    this.#offset_us = 0;
    this.#passedTick_us = Number.NEGATIVE_INFINITY;
    this.#latest = new LatestTicks();
    this.#followFallen(shift_us);
  }

  /** Lets the fallen lines through as the continuation, their counters shifted; the last one stays held. */
  #followFallen(shift_us: number): void {
    const fallen = this.#fallen;
    this.#fallen = [];
    for (const line of fallen) {
      this.#pass();
      this.#holdLine({ ...line, tick_us: line.tick_us + shift_us });
    }
  }

  #endRun(): void {
    this.#pass();
    this.#heldTick_us = Number.NEGATIVE_INFINITY;
    this.#heldDark = NO_STATE;
    this.#heldPayload = undefined;
    if (this.#rows > 0) this.#runs.push(this.#run.finish(this.#source));
  }

  /** Whether a fallen line fits behind the line before the held one, so that the held one is the stranger. */
  #ranAhead(line: Line): boolean {
    return line.tick_us >= this.#passedTick_us;
  }

  #isWrap(line: Line): boolean {
    const narrow = this.#heldTick_us - this.#offset_us < COUNTER_SPAN_US;
    const explained = this.#rows > 0 && this.#ranAhead(line);
    return narrow && !explained && this.#heldTick_us - line.tick_us > WRAP_FALL_US;
  }

  /** Whether a line is only behind lines of other kinds, and by little, while no line of its kind is in doubt. */
  #isOvertaken({ tick_us, payload }: Line): boolean {
    if (this.#rows === 0 || this.#heldTick_us - tick_us > LATE_REACH_US) return false;
    if (this.#fallen.some((line) => (line.payload === undefined) === (payload === undefined))) return false;
    const latest_us = this.#latest.of(payload);
    return tick_us >= (latest_us > Number.NEGATIVE_INFINITY ? latest_us : this.#firstTick_us);
  }

  /** Whether a fallen line belongs to the recent past of this run. */
  #isLate(line: Line): boolean {
    const fall_us = this.#heldTick_us - line.tick_us;
    const recent = fall_us <= LATE_REACH_US && line.tick_us - this.#firstTick_us > fall_us;
    return recent && line.tick_us < this.#passedTick_us;
  }
}
