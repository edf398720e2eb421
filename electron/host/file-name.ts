/** Names for files and folders that every system takes, from names that came from anywhere. */

/** Disks take 255 bytes of UTF-8; this leaves room for a number and for what part files have after the name. A choice of ours. */
const MOST_BYTES = 180;
/** Names longer by no more are left alone: what is put behind a name that was cut must not have it cut again. */
const SPARE_BYTES = 2;
/** Names that Windows keeps for devices, whatever ends them [Microsoft, Naming Files, Paths, and Namespaces]. */
const RESERVED = /^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\.|$)/i;

/** No disk has longer names; what a mail or a zip claims is cut from the front, so that the ending stays. */
const LONGEST_GIVEN = 1000;

/**
 * The last step of a path as a plain file name: no control characters and none that some system forbids, no dots or
 * blanks at the ends, not hidden, not a device, and never that of a part file. `fallback` when nothing is left.
 */
export function plainFileName(given: string, fallback: string): string {
  const last = given.slice(-LONGEST_GIVEN).split(/[/\\]/).at(-1) ?? '';
  const kept = last
    .replaceAll(/[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu, '')
    .normalize('NFC')
    .replaceAll(/[<>:"|?*]/g, '-')
    .replace(/^[.\s]+/, '')
    .replace(/[.\s]+$/, '');
  if (kept === '') return fallback;
  return shortened(notPart(RESERVED.test(kept) ? `_${kept}` : kept));
}

/** `combine.log.gz`, 2 → `combine-2.log.gz`. */
export function numberedName(name: string, number: number): string {
  const { stem, ending } = splitName(name);
  return `${stem}-${number}${ending}`;
}

/** A folder's name for a season or a field: `Kestrel Flats 2026` → `kestrel-flats-2026`; `fallback` when nothing is left. */
export function folderNameFrom(name: string, fallback = 'season'): string {
  const plain = name
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 60)
    .replace(/-+$/, '');
  return plainFileName(plain, fallback);
}

/** The ending is what names the kind: `.log`, or `.log.gz` of packed ones; a name that is all ending has none. */
function splitName(name: string): { stem: string; ending: string } {
  const ending = /(?:\.[A-Za-z0-9]{1,10})?\.(?:gz|zip)$|\.[A-Za-z0-9]{1,10}$/i.exec(name)?.[0] ?? '';
  if (ending === name) return { stem: name, ending: '' };
  return { stem: name.slice(0, name.length - ending.length), ending };
}

function notPart(name: string): string {
  return name.replace(/\.part$/i, '.part-');
}

/** Takes characters off the end of the stem until the name is short enough, and what must not stand at an end. */
function shortened(name: string): string {
  if (Buffer.byteLength(name) <= MOST_BYTES + SPARE_BYTES) return name;
  const { stem, ending } = splitName(name);
  const characters = [...stem];
  while (characters.length > 0 && Buffer.byteLength(characters.join('') + ending) > MOST_BYTES)
    characters.pop();
  return notPart(`${characters.join('')}${ending}`.replace(/[.\s]+$/, ''));
}
