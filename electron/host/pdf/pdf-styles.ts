/** Sizes and colours of a report on paper: those of `document-style.ts`. */

import type { State } from '../../../core/export/document/document.ts';
import { PRINT } from '../../../core/export/pictures/palette.ts';
import type { LineStyle } from './pdf-lines.ts';

const ink = { colour: PRINT.ink, quiet: PRINT.quiet } as const;
const faint = { colour: PRINT.quiet, quiet: PRINT.quiet } as const;

export const STYLES = {
  kind: { size: 8.5, leading: 1.4, strong: true, colour: PRINT.accent, quiet: PRINT.quiet },
  title: { size: 22, leading: 1.18, strong: true, spacing: -0.22, ...ink },
  below: { size: 9, leading: 1.42, ...faint },
  beside: { size: 7.8, leading: 1.42, ...faint },
  h2: { size: 13, leading: 1.25, strong: true, spacing: -0.06, ...ink },
  h3: { size: 9, leading: 1.4, strong: true, ...ink },
  aside: { size: 9, leading: 1.4, ...faint },
  text: { size: 9, leading: 1.42, ...ink },
  quiet: { size: 7.8, leading: 1.4, ...faint },
  caption: { size: 7.8, leading: 1.4, colour: PRINT.quiet, quiet: PRINT.quiet },
  cell: { size: 8.3, leading: 1.32, ...ink },
  cellHead: { size: 7.6, leading: 1.28, ...faint },
  cellQuiet: { size: 7.6, leading: 1.32, ...faint },
  code: { size: 6.2, leading: 1.4, ...faint },
  keyName: { size: 7.8, leading: 1.42, ...faint },
  keyUnit: { size: 9.5, leading: 1.42, ...faint },
  keyMain: { size: 19, leading: 1.25, strong: true, spacing: -0.19, ...ink },
  key: { size: 14, leading: 1.25, strong: true, spacing: -0.14, ...ink },
  foot: { size: 7, leading: 1.3, ...faint },
} as const satisfies Readonly<Record<string, LineStyle>>;

export const STATE_COLOURS: Readonly<Record<State, string>> = {
  good: PRINT.accent,
  look: PRINT.look,
  mend: PRINT.mend,
  aside: PRINT.quiet,
};
