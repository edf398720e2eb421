/**
 * The logger: stamps everything with its own free-running 32-bit microsecond counter, which drifts, wraps and
 * restarts, and writes one line an event; then the accidents that files meet.
 */
import { type ArtefactCounts, cutShort, damaged, type LineArtefacts } from './file-damage.ts';
import type { Random } from './random.ts';
import type { DamageSpec, MachineSpec } from './scene-spec.ts';

/** Lines of one source in time order: `t_s` true seconds, `payload` without tick. */
export interface EventStream {
  readonly t_s: ArrayLike<number>;
  payload(i: number): string;
  /** Which of two files it goes to when they are apart. */
  readonly file: 'beam' | 'fixes' | 'slow';
}

/** Files of one machine in one field. */
export interface LogText {
  /** File name suffix ('' or '-beam', '-fixes', '-2' …) → lines, with line ends, as Latin-1 text. */
  readonly files: ReadonlyMap<string, string>;
  readonly artefacts: LineArtefacts;
}

/** File of sentences without ticks. */
const BARE = '-nmea';
const WRAP_US = 2 ** 32;
/** A logger that restarts has counted this far when it writes its first line. */
const BOOT_S = 2.35;

interface Counter {
  readonly from_s: number;
  readonly gapFrom_s: number;
  readonly tickAtFrom_us: number;
}

/** Merges the streams in true time, stamps them with the machine's counter, then spoils the longest file as told. */
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
    const name = suffix(machine, damage, stream.file, run, t_s);
    let lines = files.get(name);
    if (lines === undefined) {
      lines = [];
      files.set(name, lines);
    }
    const payload = stream.payload(order.index[i]);
    lines.push(name.startsWith(BARE) ? payload : `${tick},${payload}`);
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

function suffix(
  machine: MachineSpec,
  damage: DamageSpec,
  file: EventStream['file'],
  run: number,
  t_s: number,
): string {
  const { files, split_min } = machine.logger;
  const part =
    files === 'beam_and_fixes'
      ? `-${file === 'beam' ? 'beam' : 'fixes'}`
      : files === 'beam_and_bare_nmea'
        ? file === 'fixes'
          ? BARE
          : '-beam'
        : '';
  const splits = split_min.filter((minute) => t_s >= minute * 60).length;
  const number = 1 + splits + (damage.restart_file === 'new' ? run : 0);
  return number > 1 ? `${part}-${number}` : part;
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
  const counts: ArtefactCounts = {
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
    if (name === victim) lines = damaged(lines, damage, random, counts, end);
    counts.lines += lines.length;
    const head =
      machine.logger.dressing === 'dressed'
        ? `\u00ef\u00bb\u00bf# tick log of ${machine.name}${end}tick_us,payload${end}`
        : '';
    const body = lines.join('');
    texts.set(name, head + (name === victim && damage.truncated_end ? cutShort(body, counts) : body));
  }
  return { files: texts, artefacts: counts };
}
