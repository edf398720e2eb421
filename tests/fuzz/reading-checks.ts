/** What must hold of every answer of every reader, whatever the bytes were. */
import type { Damage, DataError, Notice, Result } from '../../core/errors.ts';

/** Longer sentences than this are no sentences. */
const LONGEST_SENTENCE = 1500;
/** More notices than these about one file, nobody reads. */
const MOST_NOTICES = 300;
/** Bytes that an answer may take for every byte of input, and besides. */
const OUTPUT_TIMES = 120;
const OUTPUT_FREE = 400_000;
/** A guess at what an object, and the head of a typed array, take; bytes. */
const OBJECT_BYTES = 64;
const ARRAY_BYTES = 150;

/** What is wrong with an answer; `undefined` when nothing is. `input` is what the reader was given. */
export function faultOf(
  answer: Result<unknown>,
  input: Uint8Array,
  free_bytes = OUTPUT_FREE,
): string | undefined {
  // as it stands, and as it reads where each letter takes two bytes
  const bytes = Buffer.from(input);
  const text = `${bytes.toString('latin1')}${bytes.toString('latin1').replaceAll('\u0000', '')}`;
  return (
    prototypeFault() ??
    sentenceFault(answer, text) ??
    (answer.ok ? (valueFault(answer.value) ?? damageFault(answer.value)) : undefined) ??
    sizeFault(answer, input.length, free_bytes)
  );
}

function prototypeFault(): string | undefined {
  const touched = [Object.prototype, Array.prototype].some((prototype) => Object.keys(prototype).length > 0);
  return touched || ({} as { polluted?: unknown }).polluted !== undefined
    ? 'a prototype was changed'
    : undefined;
}

function sentenceFault(answer: Result<unknown>, input: string): string | undefined {
  if (answer.notices.length > MOST_NOTICES) return `${answer.notices.length} notices`;
  const said: (DataError | Notice)[] = answer.ok ? [...answer.notices] : [answer.error, ...answer.notices];
  for (const { text, code, line } of said) {
    const wrong = textFault(text, input);
    if (wrong) return `${wrong}: ${JSON.stringify(text.slice(0, 300))}`;
    if (!/^[a-z][a-z0-9_]*$/.test(code)) return `the code ${JSON.stringify(code)}`;
    if (line !== undefined && !(Number.isInteger(line) && line >= 0)) return `line ${line} in ${code}`;
  }
  for (const { code, count } of answer.notices) {
    if (!(Number.isInteger(count) && count > 0)) return `count ${count} in ${code}`;
  }
  return undefined;
}

/** What no sentence may hold, unless it quotes it from the file. */
const LEFTOVERS: readonly string[] = ['undefined', 'NaN', 'Infinity', '[object', 'function', 'Error:'];

/** Control characters, marks that turn the direction of writing, halves of letters. */
const UNPRINTABLE = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/u;

export function textFault(text: string, input: string): string | undefined {
  if (typeof text !== 'string' || text.trim() === '') return 'an empty sentence';
  if (text.length > LONGEST_SENTENCE) return `a sentence of ${text.length} characters`;
  if (UNPRINTABLE.test(text)) return 'an unprintable character in a sentence';
  if (!/[.?]$/.test(text)) return 'a sentence without an end';
  if (/\n\s+at /.test(text)) return 'a stack in a sentence';
  const left = LEFTOVERS.find((word) => text.includes(word) && !input.includes(word));
  return left === undefined ? undefined : `“${left}” in a sentence`;
}

/** Numbers finite or NaN, columns of one table equally long. */
function valueFault(found: unknown): string | undefined {
  if (typeof found === 'number') {
    return Math.abs(found) === Number.POSITIVE_INFINITY ? `the number ${found}` : undefined;
  }
  if (found instanceof Float64Array) {
    for (const number of found)
      if (Math.abs(number) === Number.POSITIVE_INFINITY) return `${number} in a column`;
    return undefined;
  }
  if (ArrayBuffer.isView(found) || typeof found !== 'object' || found === null) return undefined;
  let length = -1;
  for (const [name, part] of found instanceof Map ? found : Object.entries(found)) {
    if (ArrayBuffer.isView(part) && !Array.isArray(found)) {
      const own = (part as Uint8Array).length;
      if (length >= 0 && own !== length)
        return `the column ${String(name)} has ${own} rows, others ${length}`;
      length = own;
    }
    const deeper = valueFault(part);
    if (deeper) return `${deeper} (${String(name)})`;
  }
  return undefined;
}

function damageFault(found: unknown): string | undefined {
  const { damage, lines } = found as { damage?: readonly Damage[]; lines?: number };
  if (lines !== undefined && !(Number.isInteger(lines) && lines >= 0)) return `${lines} lines`;
  for (const { kind, count, first_line } of damage ?? []) {
    if (!(Number.isInteger(count) && count > 0)) return `${count} × ${kind}`;
    if (!(Number.isInteger(first_line) && first_line >= 1 && first_line <= (lines ?? 0) + 1)) {
      return `${kind} first on line ${first_line} of ${lines}`;
    }
  }
  return undefined;
}

function sizeFault(answer: Result<unknown>, inputLength: number, free_bytes: number): string | undefined {
  const size = sizeOf(answer);
  const most = free_bytes + OUTPUT_TIMES * inputLength;
  return size > most ? `an answer of ${size} bytes to ${inputLength}` : undefined;
}

/** Roughly the memory that a value holds, bytes. */
export function sizeOf(found: unknown): number {
  if (typeof found === 'string') return 2 * found.length;
  if (ArrayBuffer.isView(found)) return ARRAY_BYTES + found.buffer.byteLength;
  if (typeof found !== 'object' || found === null) return 8;
  let size = OBJECT_BYTES;
  for (const part of found instanceof Map ? found.values() : Object.values(found)) size += sizeOf(part);
  return size;
}
