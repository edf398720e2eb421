/** What is measured on a machine, how, and between which lengths it is likely to lie. */
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { MachineSheet } from '../../../core/season.ts';

export interface MachineMeasure {
  /** As in `MachineSheet.unconfirmed`. */
  readonly key: string;
  readonly label: string;
  /** How to measure it. */
  readonly hint: string;
  readonly size: 'small' | 'large';
  /** Outside this a length is taken all the same, with a word of doubt; common practice, no source. */
  readonly likely_m: readonly [low: number, high: number];
  /** Whether the machine can do without. */
  readonly isOptional?: boolean;
  readonly of: (machine: MachineSheet) => number | undefined;
  readonly patch: (length_m: number | null, machine: MachineSheet) => Patch<MachineSheet>;
}

const PADDLE = [
  [
    'pitch_mm',
    'From one paddle to the next',
    'Over ten paddles with a tape, then divided by ten.',
    [0.1, 0.4],
  ],
  ['width_mm', 'Width of a paddle', 'Across the housing, from side to side.', [0.12, 0.45]],
  ['depth_mm', 'Depth of a paddle', 'From the chain outwards.', [0.08, 0.3]],
  ['thickness_mm', 'Thickness of a paddle', 'Of the rubber or plastic itself.', [0.003, 0.03]],
] as const;

/** The four that make a paddle: half of them would be none. */
export const PADDLE_MEASURES: readonly MachineMeasure[] = PADDLE.map(([key, label, hint, likely_m]) => ({
  key: `paddle.${key}`,
  label,
  hint,
  size: 'small',
  likely_m,
  of: ({ paddle }) => metres(paddle?.[key]),
  patch: (length_m) => (length_m === null ? {} : { paddle: { [key]: millimetres(length_m) } }),
}));

export const PLACE_MEASURES: readonly MachineMeasure[] = [
  {
    key: 'header.width_m',
    label: 'Header width',
    hint: 'What it cuts: rows times row spacing, or divider to divider.',
    size: 'large',
    likely_m: [2, 18.5],
    of: ({ header }) => header.width_m,
    patch: (width_m) => (width_m === null ? {} : { header: { width_m } }),
  },
  {
    key: 'antenna.ahead_of_cut_m',
    label: 'Antenna ahead of the cutting line',
    hint: 'Along the machine, header down; behind the cutting line it is negative, as on most roofs.',
    size: 'large',
    likely_m: [-8, 2],
    of: ({ antenna }) => antenna?.ahead_of_cut_m,
    patch: (ahead_of_cut_m, { antenna }) =>
      ahead_of_cut_m === null
        ? {}
        : { antenna: { right_of_centre_m: antenna?.right_of_centre_m ?? 0, ahead_of_cut_m } },
  },
  {
    key: 'antenna.right_of_centre_m',
    label: 'Antenna right of the header’s middle',
    hint: 'Seen from the seat; to the left it is negative.',
    size: 'large',
    likely_m: [-3, 3],
    of: ({ antenna }) => antenna?.right_of_centre_m,
    patch: (right_of_centre_m, { antenna }) =>
      right_of_centre_m === null
        ? {}
        : { antenna: { ahead_of_cut_m: antenna?.ahead_of_cut_m ?? 0, right_of_centre_m } },
  },
];

export const BEAM_MEASURES: readonly MachineMeasure[] = (
  [
    [
      'above_lower_shaft_mm',
      'Beam above the lower shaft',
      'From the shaft’s centre, along the elevator.',
      [0.2, 3],
    ],
    [
      'from_back_mm',
      'Beam from the elevator’s back',
      'Where it crosses the paddle; else the middle.',
      [0.02, 0.3],
    ],
    ['height_mm', 'Height of the beam itself', 'Of the lens or slit, along the elevator.', [0.001, 0.02]],
  ] as const
).map(([key, label, hint, likely_m]) => ({
  key: `beam.${key}`,
  label,
  hint,
  size: 'small',
  likely_m,
  isOptional: true,
  of: ({ beam }) => metres(beam?.[key]),
  patch: (length_m) => ({ beam: { [key]: length_m === null ? null : millimetres(length_m) } }),
}));

function metres(length_mm: number | undefined): number | undefined {
  return length_mm === undefined ? undefined : length_mm / 1000;
}

/** To a hundredth of a millimetre: what is typed in inches comes back as typed. */
function millimetres(length_m: number): number {
  return Number((length_m * 1000).toFixed(2));
}
