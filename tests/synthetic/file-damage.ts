/** The accidents that files meet: lines in the wrong order, twice, half or not at all, runs of NUL, a cut-off end. */
import type { Random } from './random.ts';
import type { DamageSpec } from './scene-spec.ts';

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

/** Counts that grow while files are spoilt. */
export type ArtefactCounts = { -readonly [K in keyof LineArtefacts]: number };

/** Lines come with their ends, so that a half line can lose its own. */
export function damaged(
  lines: readonly string[],
  damage: DamageSpec,
  random: Random,
  counts: ArtefactCounts,
  end: string,
): string[] {
  const result = [...lines];
  const place = (): number => 50 + random.integer(Math.max(1, result.length - 100));
  for (let i = 0; i < damage.swapped_lines; i++) {
    const at = place();
    [result[at], result[at + 1]] = [result[at + 1], result[at]];
    counts.swapped++;
  }
  const hasSentences = result.some((line) => line.includes('$'));
  for (let i = 0; hasSentences && i < damage.bad_checksums; i++) {
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

/** Ends the file in the middle of its last sentence. */
export function cutShort(body: string, counts: ArtefactCounts): string {
  counts.truncatedEnds++;
  const dollar = body.lastIndexOf('$');
  return body.slice(0, dollar + 17);
}
