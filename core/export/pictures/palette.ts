/** Colours of printed pages and pictures: those of the window in its light dress, on white. */
export const PRINT = {
  paper: '#ffffff',
  panel: '#f5f3ef',
  ink: '#1f1d1a',
  quiet: '#625d55',
  hair: '#d9d4cb',
  accent: '#0d6468',
  look: '#8f5600',
  mend: '#9c3522',
  ghost: '#cfc9be',
} as const;

/** Grain that was screened, and grain that is in no field. */
export const SCREENED_TONES = [
  '#b58a3c',
  '#cfae74',
  '#94702c',
  '#e0cba4',
  '#6f5420',
  '#c98a63',
  '#e7c3a8',
  '#9a6a48',
] as const;
export const LOST_TONES = ['#8d877d', '#b4aea4'] as const;

/** Sizes of letters in pictures, in points. */
export const LETTERS = { small: 6.5, usual: 7.5, large: 9 } as const;
