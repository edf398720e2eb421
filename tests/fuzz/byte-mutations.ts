/** Accidents and attacks on the bytes of a file, whatever it holds. */
import type { Random } from '../synthetic/random.ts';
import { HOSTILE_NUMBERS, HOSTILE_TEXTS } from './hostile-words.ts';

/** What a mutation may draw on besides the bytes themselves. */
export interface Soil {
  /** Words of the format itself. */
  readonly words: readonly string[];
  /** Other files of the same kind, for splicing. */
  readonly others: readonly Uint8Array[];
}

export type Mutation = (bytes: Uint8Array, random: Random, soil: Soil) => Uint8Array;

export function oneOf<T>(choices: ArrayLike<T>, random: Random): T {
  return choices[random.integer(choices.length)];
}

function spliced(bytes: Uint8Array, from: number, to: number, middle: Uint8Array): Uint8Array {
  return Buffer.concat([bytes.subarray(0, from), middle, bytes.subarray(to)]);
}

/** A span of up to `most` bytes. */
function span(bytes: Uint8Array, random: Random, most: number): [number, number] {
  const from = random.integer(bytes.length + 1);
  return [from, Math.min(bytes.length, from + 1 + random.integer(most))];
}

const LF = 10;

/** Start and end of a random line, its LF included. */
function lineSpan(bytes: Uint8Array, random: Random): [number, number] {
  const at = random.integer(bytes.length + 1);
  const start = bytes.lastIndexOf(LF, at - 1) + 1;
  const end = bytes.indexOf(LF, at);
  return [Math.min(start, at), end < 0 ? bytes.length : end + 1];
}

const flipBits: Mutation = (bytes, random) => {
  const flipped = Uint8Array.from(bytes);
  for (let i = 0; i <= random.integer(8) && flipped.length > 0; i++)
    flipped[random.integer(flipped.length)] ^= 1 << random.integer(8);
  return flipped;
};

const truncate: Mutation = (bytes, random) => bytes.subarray(0, random.integer(bytes.length + 1));

const cutFront: Mutation = (bytes, random) => bytes.subarray(random.integer(bytes.length + 1));

const removeSpan: Mutation = (bytes, random) => {
  const [from, to] = span(bytes, random, 60);
  return spliced(bytes, from, to, new Uint8Array());
};

const repeatSpan: Mutation = (bytes, random) => {
  const [from, to] = span(bytes, random, 300);
  return spliced(bytes, from, from, bytes.subarray(from, to));
};

const crossOver: Mutation = (bytes, random, { others }) => {
  const other = oneOf(others, random);
  const cut = random.integer(bytes.length + 1);
  return Buffer.concat([bytes.subarray(0, cut), other.subarray(random.integer(other.length + 1))]);
};

const insertWord: Mutation = (bytes, random, { words }) => {
  const word = oneOf([HOSTILE_NUMBERS, HOSTILE_TEXTS, words], random);
  const at = random.integer(bytes.length + 1);
  return spliced(bytes, at, at, Buffer.from(word.length > 0 ? oneOf(word, random) : ''));
};

/** Overwrites the number at or after a random place. */
const otherNumber: Mutation = (bytes, random) => {
  let from = random.integer(bytes.length + 1);
  while (from < bytes.length && !isNumeric(bytes[from])) from++;
  let to = from;
  while (to < bytes.length && isNumeric(bytes[to])) to++;
  return spliced(bytes, from, to, Buffer.from(oneOf(HOSTILE_NUMBERS, random)));
};

function isNumeric(byte: number): boolean {
  return (byte >= 0x30 && byte <= 0x39) || byte === 0x2e || byte === 0x2d;
}

/** Replaces what stands between two commas, quotes or other signs. */
const otherCell: Mutation = (bytes, random, { words }) => {
  const isEdge = (byte: number) =>
    byte === LF || byte === 0x2c || byte === 0x3b || byte === 9 || byte === 0x22;
  let from = random.integer(bytes.length + 1);
  let to = from;
  while (from > 0 && !isEdge(bytes[from - 1])) from--;
  while (to < bytes.length && !isEdge(bytes[to])) to++;
  const list = oneOf([HOSTILE_NUMBERS, HOSTILE_TEXTS, words.length > 0 ? words : HOSTILE_TEXTS], random);
  return spliced(bytes, from, to, Buffer.from(oneOf(list, random)));
};

const runOfNul: Mutation = (bytes, random) => {
  const [from, to] = span(bytes, random, 200);
  // written over what was there, or in between
  return spliced(bytes, from, random.uniform() < 0.5 ? to : from, new Uint8Array(to - from));
};

const runOfOneByte: Mutation = (bytes, random) => {
  const at = random.integer(bytes.length + 1);
  const length = 2 ** random.integer(14);
  return spliced(
    bytes,
    at,
    at,
    new Uint8Array(length).fill(oneOf('1,;"\t\n\r[{ #$*.-\u0000', random).charCodeAt(0)),
  );
};

const repeatLine: Mutation = (bytes, random) => {
  const [from, to] = lineSpan(bytes, random);
  return spliced(bytes, to, to, bytes.subarray(from, to));
};

const dropLine: Mutation = (bytes, random) => {
  const [from, to] = lineSpan(bytes, random);
  return spliced(bytes, from, to, new Uint8Array());
};

const moveLine: Mutation = (bytes, random) => {
  const [from, to] = lineSpan(bytes, random);
  const rest = spliced(bytes, from, to, new Uint8Array());
  const at = rest.indexOf(LF, random.integer(rest.length + 1)) + 1;
  return spliced(rest, at, at, bytes.subarray(from, to));
};

const otherLineEnds: Mutation = (bytes, random) => {
  const text = Buffer.from(bytes).toString('latin1');
  const end = oneOf(['\r\n', '\r', '\n\r', '\n\n', '\u2028'], random);
  return Buffer.from(text.replaceAll('\n', end), 'latin1');
};

const otherSigns: Mutation = (bytes, random) => {
  const [from, to] = [oneOf([0x2c, 0x3b, 9, 0x2e], random), oneOf([0x2c, 0x3b, 9, 0x2e, 0x7c, 0x20], random)];
  return bytes.map((byte) => (byte === from ? to : byte));
};

const otherEncoding: Mutation = (bytes, random) => {
  const text = Buffer.from(bytes).toString('utf8');
  switch (random.integer(4)) {
    case 0:
      return Buffer.from(`\uFEFF${text}`, 'utf16le');
    case 1:
      return Buffer.from(`\uFEFF${text}`, 'utf16le').swap16();
    case 2:
      return Buffer.concat([Buffer.from('\uFEFF'), bytes]);
    default:
      return Buffer.from(text.replaceAll('e', 'é').replaceAll('o', 'ö'), 'latin1');
  }
};

const randomBytes: Mutation = (bytes, random) => {
  const [from, to] = span(bytes, random, 100);
  return spliced(
    bytes,
    from,
    to,
    Uint8Array.from({ length: random.integer(100) }, () => random.integer(256)),
  );
};

export const BYTE_MUTATIONS: readonly Mutation[] = [
  flipBits,
  truncate,
  cutFront,
  removeSpan,
  repeatSpan,
  crossOver,
  insertWord,
  insertWord,
  otherNumber,
  otherNumber,
  otherCell,
  otherCell,
  otherCell,
  runOfNul,
  runOfOneByte,
  repeatLine,
  dropLine,
  moveLine,
  otherLineEnds,
  otherSigns,
  otherEncoding,
  randomBytes,
];

/**
 * A long file made of little: some bytes, a line, two lines in turn, or the whole file, over and over. What takes a
 * reader more than a fixed time a byte shows here.
 */
export function swollen(bytes: Uint8Array, random: Random, size: number): Uint8Array {
  const pieces = swellingPieces(bytes, random);
  const unit = Buffer.concat(pieces);
  if (unit.length === 0) return bytes;
  const body = Buffer.alloc(size, unit);
  const [from] = lineSpan(bytes, random);
  return spliced(bytes, from, from, body);
}

function swellingPieces(bytes: Uint8Array, random: Random): Uint8Array[] {
  const line = () => bytes.subarray(...lineSpan(bytes, random));
  switch (random.integer(6)) {
    case 0:
      return [
        Buffer.from(
          oneOf(
            ['\u0000', '1', '"', ',', '\n', '[', '{', '{"a":', ' ', '\r', '$', '*', '.', '-', 'é'],
            random,
          ),
        ),
      ];
    case 1:
      return [bytes.subarray(...span(bytes, random, 30))];
    case 2:
      return [line()];
    case 3:
      return [line(), line()];
    case 4:
      return [line(), line(), line(), line()];
    default:
      return [bytes];
  }
}
