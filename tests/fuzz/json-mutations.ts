/** Mutations of JSON that leave it JSON: a reader behind a parser sees little of a flipped bit. */
import type { Random } from '../synthetic/random.ts';
import { type Mutation, oneOf } from './byte-mutations.ts';
import { HOSTILE_TEXTS } from './hostile-words.ts';

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** One value, key or place of the document changed; the bytes as they are when they are no JSON. */
export const jsonMutation: Mutation = (bytes, random, { words }) => {
  let document: Json;
  try {
    document = JSON.parse(Buffer.from(bytes).toString('utf8'));
  } catch {
    return bytes;
  }
  const holder: Json[] = [document];
  if (depthOf(bytes) > DEEPEST) return bytes;
  const [place, key] = oneOf(placesIn(holder), random);
  const names = words.length > 0 ? words : HOSTILE_TEXTS;
  if (Array.isArray(place)) mutateList(place, Number(key), random, names);
  else mutateObject(place, key, random, names);
  return Buffer.from(JSON.stringify(holder[0] ?? null, null, random.integer(3)));
};

/** Brackets open at once, those in texts included: `JSON.stringify` has a stack, too. */
function depthOf(bytes: Uint8Array): number {
  let depth = 0;
  let deepest = 0;
  for (const byte of bytes) {
    if (byte === 0x5b || byte === 0x7b) deepest = Math.max(deepest, ++depth);
    else if (byte === 0x5d || byte === 0x7d) depth--;
  }
  return deepest;
}

type Place = readonly [Json[] | { [key: string]: Json }, string];

/** Deeper places are left alone. */
const DEEPEST = 60;

function placesIn(holder: Json, depth = 0): Place[] {
  if (typeof holder !== 'object' || holder === null || depth > DEEPEST) return [];
  const own = holder as Json[] & { [key: string]: Json };
  return Object.keys(own).flatMap((key): Place[] => [[own, key], ...placesIn(own[key], depth + 1)]);
}

function mutateList(list: Json[], index: number, random: Random, names: readonly string[]): void {
  switch (random.integer(5)) {
    case 0:
      list.splice(index, 1);
      break;
    case 1:
      list.splice(index, 0, structuredClone(list[index]));
      break;
    case 2:
      list.reverse();
      break;
    default:
      list[index] = otherJson(list[index], random, names);
  }
}

function mutateObject(
  object: { [key: string]: Json },
  key: string,
  random: Random,
  names: readonly string[],
): void {
  switch (random.integer(6)) {
    case 0:
      delete object[key];
      break;
    case 1: {
      const held = object[key];
      delete object[key];
      define(object, oneOf(names, random), held);
      break;
    }
    case 2:
      define(object, oneOf(HOSTILE_TEXTS, random), otherJson(object[key], random, names));
      break;
    default:
      object[key] = otherJson(object[key], random, names);
  }
}

/** As `JSON.parse` would: `__proto__` becomes a key like any other. */
function define(object: { [key: string]: Json }, key: string, held: Json): void {
  Object.defineProperty(object, key, { value: held, enumerable: true, configurable: true, writable: true });
}

const NUMBERS = [
  0,
  -1,
  1,
  0.5,
  3,
  12,
  90,
  180,
  181,
  -93.7,
  42.1,
  1e6,
  1e15,
  1e308,
  -1e308,
  5e-324,
  2 ** 53,
  1e21,
];

function otherJson(held: Json, random: Random, names: readonly string[]): Json {
  switch (random.integer(9)) {
    case 0:
      return oneOf(HOSTILE_TEXTS, random);
    case 1:
      return oneOf(names, random);
    case 2:
    case 3:
      return oneOf(NUMBERS, random);
    case 4:
      return oneOf<Json>([null, true, false, '', ' ', [], {}, [null], [[]]], random);
    case 5:
      return [held];
    case 6:
      return { a: held };
    case 7:
      return nested(random.integer(60), random);
    default:
      return typeof held === 'string' ? held.repeat(1 + random.integer(50)) : JSON.stringify(held);
  }
}

function nested(depth: number, random: Random): Json {
  let held: Json = 1;
  for (let i = 0; i < depth; i++) held = random.uniform() < 0.5 ? [held] : { a: held };
  return held;
}

/** Brackets upon brackets, closed or not, somewhere in the text. */
export const deepNest: Mutation = (bytes, random) => {
  const depth = 2 ** (4 + random.integer(13));
  const [open, close] = oneOf(
    [
      ['[', ']'],
      ['{"a":', '}'],
      ['[{"type":"Feature","geometry":', '}]'],
    ],
    random,
  );
  const nest = `${open.repeat(depth)}1${random.uniform() < 0.5 ? close.repeat(depth) : ''}`;
  const colon = bytes.indexOf(0x3a, random.integer(bytes.length + 1)) + 1;
  return Buffer.concat([
    bytes.subarray(0, colon),
    Buffer.from(nest),
    bytes.subarray(colon + random.integer(20)),
  ]);
};
