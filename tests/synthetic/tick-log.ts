/**
 * The logger: stamps everything with its own free-running 32-bit microsecond counter, which drifts, wraps and
 * restarts, and writes one line an event; then the accidents that files meet.
 */
import type { Random } from './random.ts';
import type { DamageSpec, MachineSpec } from './scene-spec.ts';

/** Lines of one source in time order: `t_s` true seconds, `payload` without tick. */
export interface EventStream {
  readonly t_s: ArrayLike<number>;
  payload(i: number): string;
  /** Which of two files it goes to when beam and fixes are apart. */
  readonly file: 'beam' | 'fixes';
}

export interface LogText {
  /** File name suffix ('' or '-beam', '-fixes', '-2' …) → lines, with line ends, as Latin-1 text. */
  readonly files: ReadonlyMap<string, string>;
  readonly artefacts: LineArtefacts;
}

/** How often each accident happened, in lines. */
export interface LineArtefacts {
  readonly lines: number;
  readonly lostInRestarts: number;
  readonly repeated: number;
  readonly swapped: number;
  readonly badChecksums: number;
  readonly half: number;
  readonly joined: number;
  readonly nulRuns: number;
  readonly overwrittenByNul: number;
  readonly truncatedEnds: number;
}

const WRAP_US = 2 ** 32;
/** A logger that restarts has counted this far when it writes its first line. */
const BOOT_S = 2.35;

interface Counter {
  readonly from_s: number;
  readonly gapFrom_s: number;
  readonly tickAtFrom_us: number;
}

export function writeTickLog(
  streams: readonly EventStream[],
  machine: MachineSpec,
  damage: DamageSpec,
  random: Random,
): LogText {
  const counters = countersOf(machine, damage);
  const order = inTimeOrder(streams);
  const files = new Map<string, string[]>();
  let lostInRestarts = 0;
  let run = 0;
  for (let i = 0; i < order.stream.length; i++) {
    const stream = streams[order.stream[i]];
    const t_s = order.t_s[i];
    while (run + 1 < counters.length && t_s >= counters[run + 1].gapFrom_s) run++;
    const counter = counters[run];
    if (t_s < counter.from_s) {
      lostInRestarts++;
      continue;
    }
    const elapsed_us = (t_s - counter.from_s) * 1e6 * (1 + machine.logger.drift_ppm * 1e-6);
    const tick = Math.floor(counter.tickAtFrom_us + elapsed_us) % WRAP_US;
    const name = suffix(machine, damage, stream.file, run);
    let lines = files.get(name);
    if (lines === undefined) {
      lines = [];
      files.set(name, lines);
    }
    lines.push(`${tick},${stream.payload(order.index[i])}`);
  }
  return finish(files, lostInRestarts, machine, damage, random);
}

function countersOf(machine: MachineSpec, damage: DamageSpec): readonly Counter[] {
  const first = { from_s: 0, gapFrom_s: 0, tickAtFrom_us: machine.logger.start_tick_us };
  const restarts = [...damage.restart_min]
    .sort((a, b) => a - b)
    .map((minute) => ({
      gapFrom_s: minute * 60,
      from_s: minute * 60 + damage.restart_gap_s,
      tickAtFrom_us: BOOT_S * 1e6,
    }));
  return [first, ...restarts];
}

function suffix(machine: MachineSpec, damage: DamageSpec, file: 'beam' | 'fixes', run: number): string {
  const part = machine.logger.files === 'one' ? '' : `-${file}`;
  return damage.restart_file === 'new' && run > 0 ? `${part}-${run + 1}` : part;
}

/** Merges the streams; at equal times the earlier stream goes first. */
function inTimeOrder(streams: readonly EventStream[]): {
  t_s: Float64Array;
  stream: Uint8Array;
  index: Int32Array;
} {
  const total = streams.reduce((sum, stream) => sum + stream.t_s.length, 0);
  const t_s = new Float64Array(total);
  const from = new Uint8Array(total);
  const index = new Int32Array(total);
  const next = streams.map(() => 0);
  for (let i = 0; i < total; i++) {
    let earliest = -1;
    let least = Number.POSITIVE_INFINITY;
    for (let k = 0; k < streams.length; k++) {
      if (next[k] < streams[k].t_s.length && streams[k].t_s[next[k]] < least) {
        least = streams[k].t_s[next[k]];
        earliest = k;
      }
    }
    t_s[i] = least;
    from[i] = earliest;
    index[i] = next[earliest]++;
  }
  return { t_s, stream: from, index };
}

function finish(
  files: ReadonlyMap<string, string[]>,
  lostInRestarts: number,
  machine: MachineSpec,
  damage: DamageSpec,
  random: Random,
): LogText {
  const texts = new Map<string, string>();
  const total = {
    lines: 0,
    lostInRestarts,
    repeated: 0,
    swapped: 0,
    badChecksums: 0,
    half: 0,
    joined: 0,
    nulRuns: 0,
    overwrittenByNul: 0,
    truncatedEnds: 0,
  };
  const end = machine.logger.dressing === 'dressed' ? '\r\n' : '\n';
  const names = [...files.keys()];
  // Accidents happen to the longest file of a machine; that one has all kinds of lines in it.
  const victim = names.reduce((a, b) => (files.get(b)!.length > files.get(a)!.length ? b : a), names[0]);
  for (const name of names) {
    let lines = files.get(name)!.map((line) => line + end);
    if (name === victim) lines = damaged(lines, damage, random, total, end);
    total.lines += lines.length;
    const head =
      machine.logger.dressing === 'dressed'
        ? `\u00ef\u00bb\u00bf# tick log of ${machine.name}${end}tick_us,payload${end}`
        : '';
    const body = lines.join('');
    texts.set(name, head + (name === victim && damage.truncated_end ? cutShort(body, total) : body));
  }
  return { files: texts, artefacts: total };
}

type Counts = { -readonly [K in keyof LineArtefacts]: number };

/** Lines come with their ends, so that a half line can lose its own. */
function damaged(
  lines: readonly string[],
  damage: DamageSpec,
  random: Random,
  counts: Counts,
  end: string,
): string[] {
  const result = [...lines];
  const place = (): number => 50 + random.integer(Math.max(1, result.length - 100));
  for (let i = 0; i < damage.swapped_lines; i++) {
    const at = place();
    [result[at], result[at + 1]] = [result[at + 1], result[at]];
    counts.swapped++;
  }
  for (let i = 0; i < damage.bad_checksums; i++) {
    let at = place();
    while (!result[at].includes('$')) at = (at + 1) % result.length;
    const star = result[at].lastIndexOf('*');
    const digit = result[at].slice(0, star).search(/\d(?=\D*$)/);
    const before = result[at][digit];
    result[at] = `${result[at].slice(0, digit)}${(Number(before) + 1) % 10}${result[at].slice(digit + 1)}`;
    counts.badChecksums++;
  }
  for (let i = 0; i < damage.half_lines + damage.joined_lines; i++) {
    const at = place();
    const joined = i >= damage.half_lines;
    const kept = result[at].slice(0, 3 + random.integer(Math.max(1, result[at].length - end.length - 4)));
    result[at] = joined ? kept : kept + end;
    if (joined) counts.joined++;
    else counts.half++;
  }
  for (let i = 0; i < damage.nul_runs; i++) {
    const at = place();
    const count = Math.min(3 + random.integer(12), result.length - at);
    let bytes = 0;
    for (let k = at; k < at + count; k++) {
      bytes += result[k].length;
      result[k] = '';
    }
    result[at] = '\0'.repeat(bytes);
    counts.nulRuns++;
    counts.overwrittenByNul += count;
  }
  for (let i = 0; i < damage.repeated_lines; i++) {
    const at = place();
    result[at] += result[at];
    counts.repeated++;
  }
  return result;
}

function cutShort(body: string, counts: Counts): string {
  counts.truncatedEnds++;
  // In the middle of the last sentence.
  const dollar = body.lastIndexOf('$');
  return body.slice(0, dollar + 17);
}
