/** Runs cases of a target: makes the bytes, reads them twice, judges the answer and the time. */
import { isDeepStrictEqual } from 'node:util';
import type { Result } from '../../core/errors.ts';
import { Random } from '../synthetic/random.ts';
import { BYTE_MUTATIONS, type Mutation, oneOf, swollen } from './byte-mutations.ts';
import type { FuzzTarget } from './fuzz-target.ts';
import { faultOf } from './reading-checks.ts';

/** Time that a case may take: so much, and so much more a byte. */
const BUDGET_MS = 50;
const BUDGET_US_PER_BYTE = 1;
/** One case in so many is swollen to one of these sizes. */
const SWOLLEN_ONE_IN = 40;
const SWOLLEN_BYTES = [20_000, 100_000, 400_000];
const MOST_CASE_BYTES = 1_000_000;
/** Failures of one kind that are cut down; the others are like them. */
const SHRUNK_OF_A_KIND = 3;

export interface FuzzFailure {
  readonly target: string;
  readonly seed: number;
  readonly index: number;
  readonly what: string;
  /** The case, cut down as far as it still fails. */
  readonly bytes: Uint8Array;
}

export interface FuzzTotals {
  readonly target: string;
  readonly cases: number;
  readonly bytes: number;
  readonly seconds: number;
  /** The case that came nearest to its time: its milliseconds, bytes, and share of the time allowed. */
  readonly slowest_ms: number;
  readonly slowest_bytes: number;
  readonly slowest_share: number;
  /** Cases that were read, not refused. */
  readonly answered: number;
  readonly failures: readonly FuzzFailure[];
}

export interface FuzzOptions {
  readonly seed: number;
  readonly first: number;
  readonly cases: number;
  /** Told before each case, and on the way of cutting one down. */
  readonly onCase?: (index: number) => void;
  /** Times the usual that a case may take; 1 when absent. */
  readonly patience?: number;
  /** Whether a failing case is cut down; costs time. */
  readonly shrink: 'shrink' | 'as_found';
}

/** The bytes of case `index`: the same for the same seed, whatever ran before. */
export function caseBytes(
  target: FuzzTarget,
  seed: number,
  index: number,
  corpus: readonly Uint8Array[],
): Uint8Array {
  const random = new Random(seed, `${target.name}/${index}`);
  const soil = { words: target.words, others: corpus };
  let bytes = oneOf(corpus, random);
  const mutations: readonly Mutation[] = target.ownMutations;
  // one mutation mostly, up to a handful: much damaged files are refused at the door
  for (let more = true; more; more = random.uniform() < 0.45) {
    const own = mutations.length > 0 && random.uniform() < 0.5;
    bytes = oneOf(own ? mutations : BYTE_MUTATIONS, random)(bytes, random, soil);
  }
  if (random.integer(SWOLLEN_ONE_IN) === 0) bytes = swollen(bytes, random, oneOf(SWOLLEN_BYTES, random));
  bytes = bytes.subarray(0, MOST_CASE_BYTES);
  return target.finish ? target.finish(bytes, random) : bytes;
}

/** Runs the cases one after the other and keeps the first few failures of each kind. */
export async function runCases(target: FuzzTarget, options: FuzzOptions): Promise<FuzzTotals> {
  const corpus = target.corpus();
  const totals = { bytes: 0, slowest_ms: 0, slowest_bytes: 0, slowest_share: 0, answered: 0 };
  const failures: FuzzFailure[] = [];
  const start_ms = performance.now();
  for (let index = options.first; index < options.first + options.cases; index++) {
    options.onCase?.(index);
    const bytes = caseBytes(target, options.seed, index, corpus);
    const judged = await judge(target, bytes, options, index);
    totals.bytes += bytes.length;
    if (judged.ok) totals.answered++;
    const share = judged.ms / budget_ms(target, bytes, options);
    if (share > totals.slowest_share) {
      totals.slowest_share = share;
      totals.slowest_ms = judged.ms;
      totals.slowest_bytes = bytes.length;
    }
    if (judged.what === undefined) continue;
    const like = failures.filter(({ what }) => kindOf(what) === kindOf(judged.what ?? '')).length;
    const isShrunk = options.shrink === 'shrink' && like < SHRUNK_OF_A_KIND;
    const failing = isShrunk ? await shrunk(target, bytes, options, index, judged.what) : bytes;
    failures.push({ target: target.name, seed: options.seed, index, what: judged.what, bytes: failing });
  }
  const seconds = (performance.now() - start_ms) / 1000;
  return { target: target.name, cases: options.cases, seconds, failures, ...totals };
}

interface Judgement {
  /** What is wrong; undefined when nothing is. */
  readonly what: string | undefined;
  readonly ms: number;
  readonly ok: boolean;
}

/** Reads twice and judges. A case over its time gets further tries, since others use the machine, too. */
async function judge(
  target: FuzzTarget,
  bytes: Uint8Array,
  options: FuzzOptions,
  index: number,
): Promise<Judgement> {
  const { seed } = options;
  const most_ms = budget_ms(target, bytes, options);
  const first = await timed(target, bytes, new Random(seed, `first reading/${index}`), index);
  if (typeof first.answer === 'string') return { what: first.answer, ms: first.ms, ok: false };
  const second = await timed(target, bytes, new Random(seed, `second reading/${index}`), index);
  if (typeof second.answer === 'string') return { what: second.answer, ms: first.ms, ok: false };
  let ms = Math.min(first.ms, second.ms);
  for (let tries = 0; tries < 3 && ms > most_ms; tries++) {
    ms = Math.min(ms, (await timed(target, bytes, new Random(seed, `first reading/${index}`), index)).ms);
  }
  const { answer } = first;
  let what = faultOf(answer, bytes, target.free_bytes);
  if (what === undefined && !isDeepStrictEqual(answer, second.answer)) what = 'two readings differ';
  if (what === undefined && answer.ok) what = target.check?.(answer.value, bytes);
  if (what === undefined && ms > most_ms) what = `too slow: ${Math.round(ms)} ms for ${bytes.length} bytes`;
  return { what, ms, ok: answer.ok };
}

function budget_ms(target: FuzzTarget, bytes: Uint8Array, { patience = 1 }: FuzzOptions): number {
  const grown_ms = ((target.us_per_byte ?? BUDGET_US_PER_BYTE) * bytes.length) / 1000;
  return patience * ((target.budget_ms ?? BUDGET_MS) + grown_ms);
}

async function timed(
  target: FuzzTarget,
  bytes: Uint8Array,
  random: Random,
  choice: number,
): Promise<{ answer: Result<unknown> | string; ms: number }> {
  // the processor's time, not the clock's: a busy machine makes no case slow
  const before = process.cpuUsage();
  let answer: Result<unknown> | string;
  try {
    const read = target.read(bytes, random, choice);
    answer = read instanceof Promise ? await read : read;
  } catch (caught) {
    answer = `threw ${caught instanceof Error ? (caught.stack ?? caught.message).split('\n').slice(0, 4).join(' | ') : String(caught)}`;
  }
  const { user, system } = process.cpuUsage(before);
  return { answer, ms: (user + system) / 1000 };
}

/** The kind of a failure: its words without the numbers and what is quoted. */
export function kindOf(what: string): string {
  return what.replaceAll(/\d+(\.\d+)?|: ".*$/g, '#').slice(0, 90);
}

/** Leaves out pieces, large ones first, as long as the case fails in the same way. */
async function shrunk(
  target: FuzzTarget,
  bytes: Uint8Array,
  options: FuzzOptions,
  index: number,
  what: string,
): Promise<Uint8Array> {
  let smallest = bytes;
  let tries = what.startsWith('too slow') ? 0 : 400;
  for (let piece = Math.ceil(bytes.length / 2); piece >= 1 && tries > 0; piece = Math.floor(piece / 2)) {
    for (let at = 0; at < smallest.length && tries > 0; tries--) {
      options.onCase?.(index);
      const without = Buffer.concat([smallest.subarray(0, at), smallest.subarray(at + piece)]);
      const judged = await judge(target, without, options, index);
      if (judged.what !== undefined && kindOf(judged.what) === kindOf(what)) smallest = without;
      else at += piece;
    }
  }
  return smallest;
}
