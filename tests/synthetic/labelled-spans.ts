/**
 * Which seconds of a machine's cutting say little about the ground under its header, by what really happened: planted
 * faults, fill and run-out of passes by the machine's own mixing, short passes, narrow cuts and a header that is down over
 * bare ground. A margin about each span is neither good nor bad: there the fault fades.
 */
import { type Drive, STEP_S } from './drive.ts';
import type { FaultSpan, PlantedFault } from './planned-faults.ts';
import type { MachineSpec } from './scene-spec.ts';

export type ArtefactKind = Exclude<PlantedFault, 'overrun'> | 'ramp' | 'short_pass' | 'narrow' | 'no_crop';

/** Seconds from the log's start at which ground was cut. */
export interface LabelledSpan {
  readonly kind: ArtefactKind;
  readonly from_s: number;
  readonly to_s: number;
  /** Seconds on either side that are neither good nor bad. */
  readonly before_s: number;
  readonly after_s: number;
}

/** Rests in cutting shorter than this do not end a pass, s. */
const REST_S = 3;
/** Fill of a pass: shares of the mixing at its start and end in which grain and ground differ by more than an eighth. */
const FILL_MIXINGS = 1;
const RUN_OUT_MIXINGS = 0.85;
/** After so many mixings a doubled flow has faded to two per cent. */
const FADE_MIXINGS = 4;
/** A pass that ends before its fill has faded is short. */
const SHORT_MIXINGS = 3;
const NARROW_SHARE = 0.25;
const ODD_SHARE = 0.6;
const SHARE_OVER_S = 1;
/** A moisture sensor's own smoothing and its unknown delay blur where a fault begins. */
const MOISTURE_MARGIN_S = 20;

export function labelledSpans(
  drive: Drive,
  machine: MachineSpec,
  isField: (east_m: number, north_m: number) => boolean,
): LabelledSpan[] {
  return [
    ...drive.faults.flatMap((fault) => planted(fault, machine)),
    ...cuttingSpells(drive).flatMap((spell) => endsOf(spell, machine)),
    ...narrowSpans(drive, machine, isField),
  ];
}

function planted({ kind, from_s, to_s, size }: FaultSpan, machine: MachineSpec): LabelledSpan[] {
  const { mixing_s } = machine.grain;
  const { speed_m_s } = machine.drive;
  const fade = { before_s: 1.5 * mixing_s, after_s: FADE_MIXINGS * mixing_s };
  switch (kind) {
    case 'stop':
    case 'creep':
      // until it has picked up speed again
      return [{ kind, from_s, to_s: to_s + (1 - size) * speed_m_s, ...fade }];
    case 'speed_step': {
      // the flow follows within a mixing, on either side of each change
      const about = (t_s: number, change_s: number): LabelledSpan => ({
        kind,
        from_s: t_s - 0.5 * mixing_s,
        to_s: t_s + change_s / 2 + 0.5 * mixing_s,
        ...fade,
      });
      return [about(from_s, (1 - size) * speed_m_s), about(to_s, (1 - size) * 2 * speed_m_s)];
    }
    case 'plug':
      return [{ kind, from_s, to_s, ...fade }];
    case 'fix_jump':
    case 'dropout':
      return [{ kind, from_s, to_s, before_s: 2, after_s: 2 }];
    case 'moisture_fault':
      return [{ kind, from_s, to_s, before_s: MOISTURE_MARGIN_S, after_s: MOISTURE_MARGIN_S }];
    case 'burst':
      return [{ kind, from_s, to_s, before_s: 1.5, after_s: 1.5 }];
    case 'overrun':
      // labelled by the bare ground that it runs over
      return [];
  }
}

interface Spell {
  readonly from_s: number;
  readonly to_s: number;
}

/** Unbroken spells of cutting crop. */
function cuttingSpells({ fresh_m2, speed_m_s }: Drive): Spell[] {
  const spells: { from_s: number; to_s: number }[] = [];
  for (let k = 0; k < fresh_m2.length; k++) {
    if (fresh_m2[k] <= 0) continue;
    const from_s = k * STEP_S;
    const open = spells.at(-1);
    const stood =
      open !== undefined && speed_m_s.subarray(Math.round(open.to_s / STEP_S), k).every((v) => v < 0.5);
    if (open !== undefined && (from_s - open.to_s < REST_S || stood)) open.to_s = from_s + STEP_S;
    else spells.push({ from_s, to_s: from_s + STEP_S });
  }
  return spells;
}

function endsOf({ from_s, to_s }: Spell, { grain }: MachineSpec): LabelledSpan[] {
  const { mixing_s } = grain;
  if (to_s - from_s < SHORT_MIXINGS * mixing_s) {
    return [{ kind: 'short_pass', from_s, to_s, before_s: 1, after_s: 1 }];
  }
  return [
    {
      kind: 'ramp',
      from_s,
      to_s: from_s + FILL_MIXINGS * mixing_s,
      before_s: 1,
      after_s: (FADE_MIXINGS - FILL_MIXINGS) * mixing_s,
    },
    {
      kind: 'ramp',
      from_s: to_s - RUN_OUT_MIXINGS * mixing_s,
      to_s,
      before_s: (1.5 - RUN_OUT_MIXINGS) * mixing_s,
      after_s: 1,
    },
  ];
}

/** Stretches with the header down in which little or nothing of it is in crop. */
function narrowSpans(
  drive: Drive,
  machine: MachineSpec,
  isField: (east_m: number, north_m: number) => boolean,
): LabelledSpan[] {
  const spans: { kind: ArtefactKind; from_s: number; to_s: number; before_s: number; after_s: number }[] = [];
  const window = Math.round(SHARE_OVER_S / STEP_S);
  const fade_s = FADE_MIXINGS * machine.grain.mixing_s;
  for (let k = 0; k + window <= drive.steps; k += window) {
    if (drive.headerDown[k] === 0 || drive.headerDown[k + window - 1] === 0) continue;
    let fresh_m2 = 0;
    let swept_m2 = 0;
    for (let i = k; i < k + window; i++) {
      fresh_m2 += drive.fresh_m2[i];
      swept_m2 += drive.speed_m_s[i] * STEP_S * machine.header.width_m;
    }
    if (swept_m2 < 0.3 * machine.header.width_m) continue;
    const share = fresh_m2 / swept_m2;
    const bare = fresh_m2 === 0 || !isField(drive.east_m[k], drive.north_m[k]);
    if (share >= ODD_SHARE) continue;
    const kind = share === 0 && bare ? 'no_crop' : 'narrow';
    // a header that is partly in crop is neither
    const half = share >= NARROW_SHARE;
    const from_s = k * STEP_S;
    const to_s = (k + window) * STEP_S;
    const open = spans.at(-1);
    if (half) {
      spans.push({ kind, from_s, to_s: from_s, before_s: 1, after_s: SHARE_OVER_S + fade_s });
    } else if (open !== undefined && open.kind === kind && open.to_s === from_s) open.to_s = to_s;
    else spans.push({ kind, from_s, to_s, before_s: SHARE_OVER_S, after_s: kind === 'narrow' ? fade_s : 1 });
  }
  return spans;
}
