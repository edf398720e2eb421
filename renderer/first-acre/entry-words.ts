/** What each entry is called, how it is measured, and what is usual; usual lengths are common practice, no source. */
import type { EntryKey } from './fitting.ts';

export interface EntryWords {
  readonly label: string;
  readonly hint: string;
}

export const ENTRY_WORDS: Readonly<Record<EntryKey, EntryWords>> = {
  columnDepth: {
    label: 'Depth of the column',
    hint: 'Back to front, over the outside. Often 3 1/2 to 8 in (90 to 200 mm).',
  },
  columnWidth: {
    label: 'Width of the column',
    hint: 'Side to side, over the outside: the way of the beam. Often 6 to 14 in (150 to 350 mm).',
  },
  pitch: { label: 'From one paddle to the next', hint: 'Over ten paddles with a tape, then divided by ten.' },
  thickness: { label: 'Thickness of a paddle', hint: 'Of the rubber or plastic itself.' },
  paddleWidth: { label: 'Width of a paddle', hint: 'Left empty: a little less than the column.' },
  paddleDepth: { label: 'Depth of a paddle', hint: 'Left empty: a little less than the column.' },
  reachOutside: {
    label: 'Outer side, reached up to',
    hint: 'Above the centre of the lower shaft, where you can work safely.',
  },
  reachInside: {
    label: 'Inner side, reached up to',
    hint: 'Above the same shaft, on the side towards the machine.',
  },
  freeFrom: {
    label: 'Column is free from',
    hint: 'The lowest place above the last bracket, ladder or cover; empty where nothing is in the way.',
  },
  shafts: { label: 'Lower to upper shaft', hint: 'Between their centres; near the head paddles tip.' },
  chainFromBack: {
    label: 'Chain’s middle from the back',
    hint: 'Only where the chain runs through this same column.',
  },
  chainThickness: { label: 'Thickness of the chain', hint: 'Back to front; left empty: 25 mm.' },
  beam: { label: 'Light beam', hint: 'Its diameter at the receiver; left empty: 5 mm.' },
  chainSpeed: {
    label: 'Chain speed',
    hint: 'At harvest speed, like 2 m/s or 400 ft/min.',
  },
  paddles: { label: 'Paddles on the whole chain', hint: 'Count once round, from a marked one.' },
  counted: {
    label: 'Paddles counted by hand',
    hint: 'At the receiver’s light, while turning through one round.',
  },
};
