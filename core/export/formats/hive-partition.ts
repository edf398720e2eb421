/**
 * Folder names of a data set that is partitioned the way Hive does it: `crop=corn/field=Home`, which query engines take for
 * columns. Whatever a path or an engine could misread is percent-encoded; letters of any script stay, because some engines
 * decode the escapes byte by byte.
 */

/** What Hive writes for a partition without a value. */
const NO_PARTITION = '__HIVE_DEFAULT_PARTITION__';

/** Disks take 255 bytes of UTF-8 for a name; this leaves room for the key. A choice of ours. */
const MOST_BYTES = 200;

/**
 * Value of a partition as it stands in a folder name. Decoded (percent escapes as UTF-8) it is the text again, except for one that
 * no disk would take for its length, which is cut.
 */
export function partitionText(text: string): string {
  const whole = text.replaceAll(/\p{Surrogate}/gu, '\ufffd');
  if (whole === '') return NO_PARTITION;
  const signs = [...whole].map(escaped);
  // a blank or a dot at the end is cut off by some systems; blanks are escaped wherever they stand
  const last = signs.length - 1;
  if (signs[last] === '.') signs[last] = '%2E';
  let bytes = signs.reduce((sum, sign) => sum + utf8Bytes(sign), 0);
  while (bytes > MOST_BYTES) bytes -= utf8Bytes(signs.pop() ?? '');
  return signs.join('');
}

/**
 * Partition folders that differ even where a disk does not tell capital from small letters: `taken` are those given out so far,
 * in small letters, and gets the new one. A letter of the second `home` beside `Home` is escaped: it decodes to the same.
 */
export function partitionFolder(
  values: Readonly<Record<string, string>>,
  taken: Map<string, string>,
): string {
  const keys = Object.entries(values);
  const plain = keys.map(([key, text]) => `${key}=${partitionText(text)}`).join('/');
  const named = keys.map(([, text]) => text).join('\0');
  for (let escapes = 0; ; escapes++) {
    const folder = escapes === 0 ? plain : withEscapes(plain, escapes);
    const owner = taken.get(folder.toLowerCase());
    if (owner !== undefined && owner !== named) continue;
    taken.set(folder.toLowerCase(), named);
    return folder;
  }
}

/** ASCII that is neither letter nor digit nor one of `_-.`, and control and direction marks of any script. */
function escaped(sign: string): string {
  return /[A-Za-z0-9_.-]/.test(sign) || /^[^\p{ASCII}\p{C}\p{Z}]$/u.test(sign)
    ? sign
    : encodeURIComponent(sign).replaceAll(/[!'()*~]/g, percent);
}

/** The first `count` letters and digits of the last value as escapes; names that were cut may run out of them and get a number. */
function withEscapes(folder: string, count: number): string {
  const at = folder.lastIndexOf('=') + 1;
  let left = count;
  // letters of an escape that stands there already are no letters
  const value = folder.slice(at).replaceAll(/%[0-9A-F]{2}|[\p{L}\p{N}]/gu, (found) => {
    if (found.startsWith('%') || left === 0) return found;
    left--;
    return found < '\x80' ? percent(found) : encodeURIComponent(found);
  });
  return `${folder.slice(0, at)}${value}${left > 0 ? `-${count}` : ''}`;
}

function percent(sign: string): string {
  return `%${sign.charCodeAt(0).toString(16).toUpperCase().padStart(2, '0')}`;
}

function utf8Bytes(text: string): number {
  let bytes = 0;
  for (const sign of text) {
    const code = sign.codePointAt(0) ?? 0;
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  }
  return bytes;
}
