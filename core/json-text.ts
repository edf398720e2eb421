/**
 * JSON with addresses: parses a text and can say on which line a key stands, and where and why it does not parse,
 * in the same words on every JavaScript engine (their own messages differ from version to version).
 */
import { type DocumentNode, parse, type ValueNode } from '@humanwhocodes/momoa';
import type { DataError } from './errors.ts';
import { failure, type Result, success } from './errors.ts';
import { shownText } from './shown-text.ts';

/** Steps from the root of a JSON value: keys of objects, indices (from 0) of lists. */
export type JsonPath = readonly (string | number)[];

/** A parsed JSON text. */
export interface JsonText {
  readonly value: unknown;
  /** Line (from 1) on which the value at `path` begins, or that of its nearest ancestor when it is not there. */
  readonly lineOf: (path: JsonPath) => number;
}

/** No sheet and no boundary nests so deep; what does would overflow the parser's stack. A choice of ours. */
const MOST_NESTED = 500;

/**
 * The value of a JSON text, when nobody will ask for lines: a tenth of the time and memory. Of a key written twice the last
 * one counts. Fails as `parseJsonText` does.
 */
export function parseJsonValue(text: string, source: string): Result<unknown> {
  const content = text.startsWith('\uFEFF') ? text.slice(1) : text;
  if (firstTooDeep(content) === undefined) {
    try {
      return success(JSON.parse(content));
    } catch {
      // its own words differ from engine to engine
    }
  }
  const parsed = parseJsonText(text, source);
  return parsed.ok ? success(parsed.value.value) : parsed;
}

/**
 * Parses JSON; a leading byte-order mark is ignored. Fails with code `json_syntax` (line, column and the usual cause)
 * or `json_repeated_key` (JSON itself would silently keep the last). `source` is the file's name for the sentence.
 */
export function parseJsonText(text: string, source: string): Result<JsonText> {
  const content = text.startsWith('\uFEFF') ? text.slice(1) : text;
  const deep = firstTooDeep(content);
  if (deep !== undefined) {
    const text = `${source}, line ${lineAt(content, deep)}: brackets nest more than ${MOST_NESTED} deep here; this is no file of this kind.`;
    return failure({ code: 'json_syntax', source, line: lineAt(content, deep), text });
  }
  let tree: DocumentNode;
  try {
    tree = parse(content, { mode: 'json' });
  } catch (caught) {
    const at = positionOf(caught);
    return failure(syntaxError(source, at, usualCause(content, at.offset)));
  }
  const broken = firstBrokenText(tree.body, content);
  if (broken) {
    return failure(
      syntaxError(source, broken, 'a text is not closed on its line; put the closing double quote.'),
    );
  }
  const repeated = firstRepeatedKey(tree.body, []);
  if (repeated) {
    const text = `${source}, line ${repeated.line}: ${jsonPathText(repeated.path)} is written twice in the same braces; keep one of the two.`;
    return failure({ code: 'json_repeated_key', source, line: repeated.line, text });
  }
  let value: unknown;
  try {
    value = JSON.parse(content);
  } catch {
    return failure(syntaxError(source, tree.body.loc.end, 'what ends here is no JSON; look at this line.'));
  }
  return success({ value, lineOf: (path) => nodeAt(tree.body, path).loc.start.line });
}

/** Characters of a path, and of one key in it, in a sentence. */
const PATH_LENGTH = 200;
const KEY_LENGTH = 60;

/** A path as people write it, e.g. `machines[0].paddle.pitch_mm`, long ones cut; `the sheet` for the root. */
export function jsonPathText(path: JsonPath): string {
  let text = '';
  for (const step of path) {
    if (typeof step === 'number') text += `[${step}]`;
    else text += text === '' ? shownText(step, KEY_LENGTH) : `.${shownText(step, KEY_LENGTH)}`;
  }
  return text === '' ? 'the sheet' : shownText(text, PATH_LENGTH);
}

/** Offset of the first bracket that nests deeper than `MOST_NESTED`; brackets inside texts do not count. */
function firstTooDeep(content: string): number | undefined {
  let depth = 0;
  let inText = false;
  for (let at = 0; at < content.length; at++) {
    const sign = content[at];
    if (inText) {
      if (sign === '\\') at++;
      else if (sign === '"') inText = false;
    } else if (sign === '"') inText = true;
    else if (sign === '{' || sign === '[') {
      if (++depth > MOST_NESTED) return at;
    } else if (sign === '}' || sign === ']') depth--;
  }
  return undefined;
}

function lineAt(content: string, offset: number): number {
  return content.slice(0, offset).split('\n').length;
}

interface Position {
  readonly line: number;
  readonly column: number;
  readonly offset: number;
}

function positionOf(caught: unknown): Position {
  const { line, column, offset } = caught as Partial<Position>;
  if (line === undefined || column === undefined || offset === undefined) throw caught;
  return { line, column, offset };
}

function syntaxError(source: string, at: Position, cause: string): DataError {
  const text = `${source}, line ${at.line}, column ${at.column}: ${cause}`;
  return { code: 'json_syntax', source, line: at.line, text };
}

/** What most often stands behind a syntax error met at `offset`. */
function usualCause(content: string, offset: number): string {
  if (content.trim() === '')
    return 'the file is empty; it has to begin with { and end with }. Copy it again from where it came.';
  const rest = content.slice(offset);
  const before = content.slice(0, offset).trimEnd();
  if (rest === '' || /^[-\w.]+\s*$/.test(rest))
    return 'the file ends too early; a closing } or ] is missing, or the end of the file is lost.';
  if (/^[}\]]/.test(rest) && before.endsWith(','))
    return 'there is a comma before the closing bracket; remove it.';
  if (/^\/[/*]|^#/.test(rest)) return 'a comment stands here, and JSON has none; remove it.';
  if (/^</.test(rest)) return 'this is XML or a web page, not JSON; save it again in the right format.';
  if (/^['“”‘’„«»`]/.test(rest)) return 'a text stands in other quotes; use the straight double quote ".';
  if (/^;/.test(rest)) return 'a semicolon stands here; use a comma.';
  if (/^(NaN|Infinity|-Infinity)/.test(rest)) return 'a number is missing here; write it, or remove the key.';
  if (/^(true|false|null)\b/i.test(rest) && !/^(true|false|null)\b/.test(rest))
    return 'write true, false and null in small letters.';
  if (before.endsWith('\\') || openText(before)) {
    return 'a \\ stands inside a text; write file paths with / (for example "logs/combine.log").';
  }
  if (/[\d.]$/.test(before) && /^[\d.]/.test(rest))
    return 'a number is written with a needless 0 in front; remove it.';
  if (/^[.+]/.test(rest)) return 'a number begins with . or +; write it as 0.5.';
  if (/^"/.test(rest) && /["\d}\]el]$/.test(before)) return 'a comma is missing before this.';
  if (/^[{[]/.test(rest) && /[}\]]$/.test(before)) return 'a comma is missing before this.';
  if (/^[-\d"{[tfn]/.test(rest) && before.endsWith('"'))
    return 'a colon is missing between the key and this.';
  if (/^,/.test(rest)) return 'a comma stands here where a key or a value should; remove one of two commas.';
  if (/^[\p{L}_$]/u.test(rest)) return 'a word stands here without quotes; put it between double quotes.';
  const [sign] = rest;
  return `"${sign === '"' ? '\\"' : shownText(sign)}" is not expected here; look at this line and the one before it.`;
}

/** Whether `before` ends inside a text: an odd number of unescaped double quotes on its last line. */
function openText(before: string): boolean {
  const line = before.slice(before.lastIndexOf('\n') + 1).replaceAll(/\\./g, '');
  return line.split('"').length % 2 === 0;
}

/** A line break or other control character inside a text: JSON forbids it, the tree parser lets it pass. */
function firstBrokenText(node: ValueNode, content: string): Position | undefined {
  if (node.type === 'Object') {
    for (const member of node.members) {
      const found =
        firstBrokenText(member.name as ValueNode, content) ?? firstBrokenText(member.value, content);
      if (found) return found;
    }
  } else if (node.type === 'Array') {
    for (const element of node.elements) {
      const found = firstBrokenText(element.value, content);
      if (found) return found;
    }
  } else if (node.type === 'String') {
    const raw = content.slice(node.loc.start.offset, node.loc.end.offset);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    if (/[\u0000-\u001f]/.test(raw)) return node.loc.start;
  }
  return undefined;
}

function firstRepeatedKey(node: ValueNode, path: JsonPath): { path: JsonPath; line: number } | undefined {
  if (node.type === 'Object') {
    const seen = new Set<string>();
    for (const member of node.members) {
      const key = keyOf(member.name);
      const here = [...path, key];
      if (seen.has(key)) return { path: here, line: member.loc.start.line };
      seen.add(key);
      const deeper = firstRepeatedKey(member.value, here);
      if (deeper) return deeper;
    }
  } else if (node.type === 'Array') {
    for (const [index, element] of node.elements.entries()) {
      const deeper = firstRepeatedKey(element.value, [...path, index]);
      if (deeper) return deeper;
    }
  }
  return undefined;
}

function nodeAt(root: ValueNode, path: JsonPath): ValueNode {
  let node = root;
  for (const step of path) {
    let next: ValueNode | undefined;
    if (node.type === 'Object') next = node.members.find((member) => keyOf(member.name) === step)?.value;
    else if (node.type === 'Array') next = node.elements[step as number]?.value;
    if (!next) return node;
    node = next;
  }
  return node;
}

function keyOf(name: { type: string; value?: unknown; name?: string }): string {
  return name.type === 'String' ? String(name.value) : String(name.name);
}
