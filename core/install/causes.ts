/** Causes of what a beam check can find, in words that a person at the machine can act on. */
import type { Finding, Verdict } from './finding.ts';

const CAUSES = {
  misaligned:
    'sender and receiver do not look at each other: a bent bracket, a loose slot screw, an obstacle in the beam',
  sender_dead: 'the sender has no supply, or is broken',
  dirty_lens: 'a dirty or misted lens',
  chain_in_beam: 'the chain stands in the beam: the mark is too far forward',
  signal_wire: 'the signal wire is open or shorted: connector not home, a crimp without grip, a chafed wire',
  beam_misses_paddles: 'the beam misses the paddles, or only grazes their edge',
  loose_connector: 'a loose connector or a broken strand at the sensor, which opens with vibration',
  electrical_noise:
    'electrical noise on the signal wire: no common earth, no shield, a loom beside the ignition or the alternator',
  chaff: 'chaff or dust in the beam: cover or seal of the column open, fan left off',
  output_inverted: 'the receiver is set to, or wired for, dark-on instead of light-on',
  loose_bracket: 'a loose bracket: the sensor shakes against the column',
  slack_chain: 'a slack or worn chain, or a worn wheel',
  slipping_drive: 'a slipping belt, or an engine that does not hold its speed',
  bent_paddle: 'a bent or swollen paddle',
  worn_paddle: 'a worn or broken paddle',
  missing_paddle: 'a missing paddle',
  double_paddle: 'an extra paddle, or a connecting link that stands out',
  pitch_typed: 'the pitch of the paddles is typed in wrong (links between paddles miscounted, inches for mm)',
  thickness_typed: 'the thickness of the paddle or of the beam is typed in wrong',
  count_typed: 'the number of paddles on the chain is typed in wrong',
  miscounted: 'the paddles were miscounted while turning by hand',
  turned_backward: 'the elevator was turned backward by hand',
  supply_dropouts: 'the supply drops out: fuse holder, earth, or a switched feed that dies while cranking',
  logger_storage: 'the logger’s card or its buffer: it writes too slowly, or loses what it holds',
  serial_noise:
    'noise on the receiver’s serial line: wrong baud rate, missing common earth, a long unshielded cable',
  gps_cable: 'the receiver’s or antenna’s cable: loose, crushed, or not home',
  gps_setup: 'the receiver’s set-up: baud rate, or the sentences that it sends (GGA and RMC are needed)',
  antenna_blocked:
    'the antenna does not see the sky: under a roof, beside a tank extension, in a building or under trees',
  antenna_reflections:
    'reflections: the antenna stands low on, or beside, large sheet metal, or on a loose base',
  no_correction: 'no correction signal is received',
  gps_rate_set: 'the receiver is set to too low a rate, or its line is too slow for its sentences',
  gps_repeats: 'the receiver repeats its last position: output rate set above its solution rate',
  tick_unit: 'the logger’s counter does not count microseconds',
  logger_clock: 'the logger’s oscillator: a ceramic resonator instead of a crystal, or one that is hot',
} as const;

export type CauseCode = keyof typeof CAUSES;

export function causeWords(code: CauseCode): string {
  return CAUSES[code];
}

export const CAUSE_CODES = Object.keys(CAUSES) as readonly CauseCode[];

const WEIGHT: Readonly<Record<Verdict, number>> = { good: 0, look: 1, mend: 3 };

/**
 * Causes over all findings, the most likely first: each finding gives a cause its weight (mend 3, look 1) over the cause's rank
 * in it. Of equals, the one that was named first.
 */
export function likelyCauses(findings: readonly Finding[]): CauseCode[] {
  const scores = new Map<CauseCode, number>();
  for (const { verdict, causes } of findings) {
    causes.forEach((cause, rank) => {
      scores.set(cause, (scores.get(cause) ?? 0) + WEIGHT[verdict] / (rank + 1));
    });
  }
  return [...scores.entries()]
    .filter(([, score]) => score > 0)
    .sort(([, a], [, b]) => b - a)
    .map(([cause]) => cause);
}
