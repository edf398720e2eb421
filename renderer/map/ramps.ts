/**
 * Colour ramps that stay readable with every kind of colour vision: viridis and cividis, a single hue, and a diverging
 * ramp whose middle stands for no difference. None runs from red to green.
 */
import type { RampName, Theme } from './types.ts';

export type Rgb = readonly [number, number, number];

/** Viridis in ten even steps (van der Walt & Smith 2015, CC0). */
const VIRIDIS = [
  '440154',
  '482878',
  '3e4989',
  '31688e',
  '26828e',
  '1f9e89',
  '35b779',
  '6ece58',
  'b5de2b',
  'fde725',
];

/** Cividis in nine even steps (Nuñez, Anderton & Renslow 2018, CC BY 4.0), from memory. */
const CIVIDIS = ['00224e', '123570', '3b496c', '575d6d', '707173', '8a8678', 'a59c74', 'c3b369', 'fee838'];

/** One hue, pale to deep; our own. */
const TEAL = ['e3efec', 'bcdcd6', '93c7c1', '67b0ad', '3f9698', '237b80', '125f66', '0a454c', '052c32'];

/** Ochre – neutral – teal, our own: equal in lightness at equal distance from the middle. */
const DIVERGING = {
  light: ['7a4a08', 'a8762c', 'cfa869', 'e6d3b1', 'efece6', 'b9d8d5', '77b5b2', '2f8a8b', '0a5c61'],
  dark: ['f3c577', 'cf9a45', '9a6f2e', '64502f', '3a3833', '2a5556', '2b8080', '4bb0ac', '9ce4de'],
} as const satisfies Readonly<Record<Theme, readonly string[]>>;

/** Colour of a ramp at `share` 0 to 1 (held at the ends), each channel 0 to 255. */
export function rampColour(ramp: RampName, share: number, theme: Theme = 'light'): Rgb {
  const steps = stepsOf(ramp, theme);
  const at = Math.min(Math.max(share, 0), 1) * (steps.length - 1);
  const low = Math.min(Math.floor(at), steps.length - 2);
  const from = rgbFromHex(steps[low]);
  const to = rgbFromHex(steps[low + 1]);
  const mix = (channel: 0 | 1 | 2) => Math.round(from[channel] + (to[channel] - from[channel]) * (at - low));
  return [mix(0), mix(1), mix(2)];
}

/** `#rrggbb` of a colour. */
export function hexFromRgb(rgb: Rgb): string {
  return `#${rgb.map((channel) => channel.toString(16).padStart(2, '0')).join('')}`;
}

/** Colour of `#rrggbb` or `rrggbb`. Throws RangeError on anything else. */
export function rgbFromHex(hex: string): Rgb {
  const digits = /^#?([0-9a-f]{6})$/i.exec(hex.trim())?.[1];
  if (digits === undefined) throw new RangeError(`"${hex}" is not a colour of six hex digits`);
  const whole = Number.parseInt(digits, 16);
  return [whole >> 16, (whole >> 8) & 255, whole & 255];
}

/** RGBA bytes of `width` texels: the ramp itself, or `colours` in equal blocks when there are classes. */
export function rampTexels(width: number, colourAt: (share: number) => Rgb): Uint8Array {
  const texels = new Uint8Array(4 * width);
  for (let i = 0; i < width; i++) texels.set([...colourAt((i + 0.5) / width), 255], 4 * i);
  return texels;
}

function stepsOf(ramp: RampName, theme: Theme): readonly string[] {
  if (ramp === 'viridis') return VIRIDIS;
  if (ramp === 'cividis') return CIVIDIS;
  return ramp === 'teal' ? TEAL : DIVERGING[theme];
}
