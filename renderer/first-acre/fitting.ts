/** What is typed before the first acre: texts as they stand in the entries, and what they mean. */
import type { BeamCheckReply } from '../../core/host-contract.ts';
import type { CheckMeasures } from '../../core/install/check-measures.ts';
import type { PlacementSheet } from '../../core/install/placement.ts';
import { paddleInColumn, USUAL_CHAIN_MM } from '../../core/install/usual-measures.ts';
import type { MachineSheet } from '../../core/season.ts';
import { lengthText, lengthUnit, metresFromText } from '../text/lengths.ts';
import type { UnitSystem } from '../text/quantities.ts';

export const LENGTH_KEYS = [
  'columnDepth',
  'columnWidth',
  'pitch',
  'thickness',
  'paddleWidth',
  'paddleDepth',
  'reachOutside',
  'reachInside',
  'freeFrom',
  'shafts',
  'chainFromBack',
  'chainThickness',
  'beam',
] as const;
export type LengthKey = (typeof LENGTH_KEYS)[number];
export type EntryKey = LengthKey | 'chainSpeed' | 'paddles' | 'counted';

export type Entries = Readonly<Partial<Record<EntryKey, string>>>;

export interface Fitting {
  readonly part: 'placement' | 'check';
  /** Id of the season's machine that is meant; null: one that is in no season. */
  readonly machine: string | null;
  readonly entries: Entries;
  /** Whether the inner side can be reached at all. */
  readonly isBlind: boolean;
  /** The last log judged. */
  readonly judged: BeamCheckReply | null;
}

export const FIRST_FITTING: Fitting = {
  part: 'placement',
  machine: null,
  entries: {},
  isBlind: false,
  judged: null,
};

/** What the season knows of the machine, in the units of its people. */
export function fittingOf(machine: MachineSheet, units: UnitSystem): Fitting {
  const unit = lengthUnit('small', units);
  const { paddle, beam } = machine;
  const known: Readonly<Partial<Record<EntryKey, number | undefined>>> = {
    pitch: paddle?.pitch_mm,
    thickness: paddle?.thickness_mm,
    paddleWidth: paddle?.width_mm,
    paddleDepth: paddle?.depth_mm,
    beam: beam?.height_mm,
  };
  const entries: Partial<Record<EntryKey, string>> = {};
  for (const [key, mm] of Object.entries(known))
    if (mm !== undefined) entries[key as EntryKey] = `${lengthText(mm / 1000, unit)} ${unit}`;
  if (paddle?.count !== undefined) entries.paddles = String(paddle.count);
  return { ...FIRST_FITTING, machine: machine.id, entries };
}

/** The same lengths for other units: a bare number keeps the unit in which it was typed. */
export function withUnitsWritten(entries: Entries, units: UnitSystem): Entries {
  const unit = lengthUnit('small', units);
  const written: Partial<Record<EntryKey, string>> = { ...entries };
  for (const key of LENGTH_KEYS) {
    const text = entries[key];
    if (text !== undefined && BARE.test(text)) written[key] = `${text.trim()} ${unit}`;
  }
  const speed = entries.chainSpeed;
  if (speed !== undefined && BARE.test(speed)) written.chainSpeed = `${speed.trim()} ${speedUnit(units)}`;
  return written;
}

const BARE = /^[\d\s.,/]*\d[\d\s.,/]*$/;

export function speedUnit(units: UnitSystem): 'ft/s' | 'm/s' {
  return units === 'us' ? 'ft/s' : 'm/s';
}

/** Metres a second: `2`, `2.1 m/s`, `400 ft/min`; NaN for what is no speed. */
export function speedFromText(text: string, units: UnitSystem): number {
  const [length, time, ...more] = text.split('/').map((part) => part.trim());
  const travelled_m = metresFromText(length, units === 'us' ? 'ft' : 'm');
  const seconds = time === undefined || time === 's' ? 1 : time === 'min' ? 60 : Number.NaN;
  return more.length > 0 ? Number.NaN : travelled_m / seconds;
}

/** What an entry means: metres, metres a second or a count; undefined where it is empty, NaN where it means nothing. */
export function meaningOf(key: EntryKey, text: string | undefined, units: UnitSystem): number | undefined {
  if (text === undefined || text.trim() === '') return undefined;
  if (key === 'chainSpeed') return speedFromText(text, units);
  if (key === 'paddles' || key === 'counted') return /^\d+$/.test(text.trim()) ? Number(text) : Number.NaN;
  const length_m = metresFromText(text, lengthUnit('small', units));
  return length_m < 0 ? Number.NaN : length_m;
}

/** Measures, or which entries are still needed or mean nothing. */
export type Read<T> =
  | { readonly is: 'ready'; readonly measures: T }
  | { readonly is: 'open'; readonly missing: readonly EntryKey[]; readonly wrong: readonly EntryKey[] };

export function placementFrom({ entries, isBlind }: Fitting, units: UnitSystem): Read<PlacementSheet> {
  const given = reading(entries, units);
  const open = openOf(given, ['columnDepth', 'columnWidth', 'pitch', 'thickness'], isBlind);
  if (open !== undefined) return open;
  const mm = (key: EntryKey) => (given.has(key) ? millimetres(given.get(key)) : undefined);
  const sure = (key: EntryKey) => millimetres(given.get(key));
  const column = { column_depth_mm: sure('columnDepth'), column_width_mm: sure('columnWidth') };
  const from_back_mm = mm('chainFromBack');
  const paddle = {
    pitch_mm: sure('pitch'),
    thickness_mm: sure('thickness'),
    width_mm: mm('paddleWidth'),
    depth_mm: mm('paddleDepth'),
  };
  const measures: PlacementSheet = {
    ...column,
    paddle: paddleInColumn(paddle, column),
    reach_outside_mm: mm('reachOutside'),
    reach_inside_mm: isBlind ? null : mm('reachInside'),
    free_from_mm: mm('freeFrom'),
    shafts_apart_mm: mm('shafts'),
    beam_mm: mm('beam'),
    chain_speed_m_s: given.get('chainSpeed'),
    ...(from_back_mm === undefined
      ? {}
      : { chain: { from_back_mm, thickness_mm: mm('chainThickness') ?? USUAL_CHAIN_MM } }),
  };
  return { is: 'ready', measures };
}

export function checkMeasuresFrom({ entries }: Fitting, units: UnitSystem): Read<CheckMeasures> {
  const own: readonly EntryKey[] = ['pitch', 'thickness', 'beam', 'paddles', 'counted', 'chainSpeed'];
  const given = reading(entries, units);
  for (const key of given.keys()) if (!own.includes(key)) given.delete(key);
  const open = openOf(given, ['pitch', 'thickness'], false);
  if (open !== undefined) return open;
  const measures: CheckMeasures = {
    pitch_mm: millimetres(given.get('pitch')),
    thickness_mm: millimetres(given.get('thickness')),
    beam_mm: given.has('beam') ? millimetres(given.get('beam')) : undefined,
    paddles: given.get('paddles'),
    counted: given.get('counted'),
    chain_speed_m_s: given.get('chainSpeed'),
  };
  return { is: 'ready', measures };
}

function reading(entries: Entries, units: UnitSystem): Map<EntryKey, number> {
  const given = new Map<EntryKey, number>();
  for (const key of Object.keys(entries) as EntryKey[]) {
    const meaning = meaningOf(key, entries[key], units);
    if (meaning !== undefined) given.set(key, meaning);
  }
  return given;
}

function openOf(given: ReadonlyMap<EntryKey, number>, needed: readonly EntryKey[], isBlind: boolean) {
  const missing = needed.filter((key) => !given.has(key));
  const wrong = [...given].flatMap(([key, meaning]) =>
    Number.isNaN(meaning) && !(isBlind && key === 'reachInside') ? [key] : [],
  );
  if (missing.length === 0 && wrong.length === 0) return undefined;
  return { is: 'open', missing, wrong } as const;
}

/** To a thousandth of a millimetre: what is typed in inches comes back as typed. */
function millimetres(length_m = Number.NaN): number {
  return Number((length_m * 1000).toFixed(3));
}
