/** Counting the damage of a file while it is read, and saying it in sentences. */
import type { Damage, DamageKind, Notice } from '../errors.ts';

/** Counts damage by kind, with the first line of each kind. One per file. */
export class DamageTally {
  readonly #counts = new Map<DamageKind, { count: number; first_line: number }>();

  /** Notes `cases` more of `kind`, the first on `line` (1-based). Lines may come in any order: the smallest is kept. */
  add(kind: DamageKind, line: number, cases = 1): void {
    const known = this.#counts.get(kind);
    if (!known) {
      this.#counts.set(kind, { count: cases, first_line: line });
      return;
    }
    known.count += cases;
    if (line < known.first_line) known.first_line = line;
  }

  /** All kinds that occurred, in the order of `DAMAGE_SENTENCES`. */
  toDamage(): Damage[] {
    const damage: Damage[] = [];
    for (const kind of Object.keys(DAMAGE_SENTENCES) as DamageKind[]) {
      const known = this.#counts.get(kind);
      if (known) damage.push({ kind, ...known });
    }
    return damage;
  }
}

/** What each kind of damage means for the result: said after the count. */
const DAMAGE_SENTENCES: Readonly<Record<DamageKind, string>> = {
  truncated_last_line: 'the last line is cut off and was left out',
  nul_bytes: 'runs of NUL bytes (the logger lost power while writing) were stepped over',
  unreadable_line: 'lines fit no form that this file may hold and were left out',
  line_too_long: 'lines longer than 4096 bytes were left out',
  out_of_order: 'lines stand out of the order of time',
  repeated_line: 'lines stand there twice; the second was left out',
  bad_checksum: 'position sentences arrived damaged (wrong checksum) and were left out',
  missing_checksum: 'position sentences carry no checksum and were left out',
  missing_edge: 'beam edges are missing (the same state twice in a row)',
  skipped_sentence: 'sentences of kinds that are not needed were skipped',
  bad_fix: 'moments had no valid position',
  bad_number: 'lines or cells hold something that is not a number where one should stand',
};

/** Kinds that are part of normal life and do not touch the result. */
const HARMLESS: ReadonlySet<DamageKind> = new Set([
  'skipped_sentence',
  'repeated_line',
  'truncated_last_line',
]);
/** Above this share of the file's lines damage is worth a look; a choice of ours, no source. */
const LOOK_SHARE = 0.01;

/** The same in a few words, said after the count in a list. */
const DAMAGE_WORDS: Readonly<Record<DamageKind, string>> = {
  truncated_last_line: 'last line cut off',
  nul_bytes: 'runs of NUL bytes',
  unreadable_line: 'unreadable',
  line_too_long: 'too long',
  out_of_order: 'out of the order of time',
  repeated_line: 'written twice',
  bad_checksum: 'sentences with a wrong checksum',
  missing_checksum: 'sentences without a checksum',
  missing_edge: 'with an edge missing',
  skipped_sentence: 'sentences not needed',
  bad_fix: 'without a valid position',
  bad_number: 'with a number missing',
};

/**
 * Damage in sentences: each kind that touches more than 1 % of the lines has a `look` of its own; all smaller damage of the
 * file is one `info`, listed by kind with the first line of each.
 */
export function noticesFromDamage(source: string, damage: readonly Damage[], lines: number): Notice[] {
  const isLarge = ({ kind, count }: Damage) => !HARMLESS.has(kind) && count > LOOK_SHARE * lines;
  const notices = damage.filter(isLarge).map(({ kind, count, first_line }): Notice => {
    const text = `${source}: ${DAMAGE_SENTENCES[kind]} (${count} of ${lines} lines, first on line ${first_line}).`;
    return { code: kind, severity: 'look', source, line: first_line, count, text };
  });
  const small = damage.filter((one) => !isLarge(one));
  if (small.length > 0) notices.push(smallDamage(source, small, lines));
  return notices;
}

/** `12 sentences with a wrong checksum (first on line 33), 2 runs of NUL bytes (first on line 80)`; '' for none. */
export function damageList(damage: readonly Damage[]): string {
  return damage
    .map((one) => `${one.count} ${DAMAGE_WORDS[one.kind]} (first on line ${one.first_line})`)
    .join(', ');
}

function smallDamage(source: string, damage: readonly Damage[], lines: number): Notice {
  const count = damage.reduce((sum, one) => sum + one.count, 0);
  return {
    code: 'small_damage',
    severity: 'info',
    source,
    line: Math.min(...damage.map((one) => one.first_line)),
    count,
    text: `${source}: ${count} of ${lines} lines were set right or passed over: ${damageList(damage)}.`,
  };
}
