/** A page to print: one HTML file with the report's look, no script, no network, and a paper size of its own. */
import { html, Markup } from '../report/markup.ts';
import { REPORT_STYLE } from '../report/report-style.ts';

export type Paper = 'letter' | 'a4';

/** Width and height of a sheet held upright, mm [ISO 216; ANSI/ASME Y14.1 A]. */
export const PAPER_MM: Readonly<Record<Paper, readonly [width: number, height: number]>> = {
  letter: [215.9, 279.4],
  a4: [210, 297],
};

/** Edge that printers leave white, mm. */
export const MARGIN_MM = 12;

export interface SheetHead {
  readonly kind: string;
  readonly title: string;
  readonly below: string;
  readonly beside: Markup;
  readonly paper: Paper;
}

/** The whole text of the file. Everything that comes from files is escaped. */
export function sheetPage(head: SheetHead, body: readonly Markup[]): string {
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="color-scheme" content="light dark">
<title>${head.title}: ${head.kind}</title>
<style>${new Markup(REPORT_STYLE)}${new Markup(sheetStyle(head.paper))}</style>
</head>
<body>
<main class="sheet">
<header>
<div><p class="kind">${head.kind}</p><h1>${head.title}</h1><p class="kind">${head.below}</p></div>
<p class="estimate">${head.beside}</p>
</header>
${body}
</main>
</body>
</html>
`;
  return page.text;
}

function sheetStyle(paper: Paper): string {
  const [width_mm, height_mm] = PAPER_MM[paper];
  return `
.sheet { max-width: 900px; }
.sheet svg { display: block; overflow: visible; }
.scaled text, .true-scale text { fill: var(--ink); font: 3.2px system-ui, sans-serif; }
.scaled .wall { fill: none; stroke: var(--ink); stroke-width: 0.4; }
.scaled .steel { fill: var(--quiet); stroke: none; }
.scaled .beam, .true-scale .beam { fill: none; stroke: var(--mend); stroke-width: 0.5; }
.scaled .measure, .true-scale .measure { fill: none; stroke: var(--quiet); stroke-width: 0.2; }
.scaled .quiet { fill: var(--quiet); }
.true-scale .fold { fill: none; stroke: var(--ink); stroke-width: 0.6; }
.true-scale .cut { fill: none; stroke: var(--ink); stroke-width: 0.3; }
.true-scale .rule { fill: none; stroke: #a0005a; stroke-width: 0.3; }
.drawings { display: flex; flex-wrap: wrap; gap: 12mm; align-items: flex-end; }
.steps { padding-left: 1.4em; } .steps > li { margin: 0 0 14px; break-inside: avoid; } .steps h3 { margin: 0 0 4px; }
.steps ul { margin: 4px 0; padding-left: 1.2em; } .steps p, .steps li { max-width: 95ch; }
.caution { color: var(--mend); } .caution::before { content: "■ "; font-size: 0.8em; }
.checked td, .checked th { vertical-align: top; } .checked th[scope=row] { white-space: normal; width: 24%; }
.plots { display: grid; grid-template-columns: repeat(auto-fill, minmax(250px, 1fr)); gap: 12px 24px; } .plots figure { break-inside: avoid; }
.trace { width: 100%; height: auto; } .trace text { fill: var(--quiet); font-size: 10px; } .trace .grid { stroke: var(--hair); fill: none; }
.trace .dots { fill: var(--accent); } .trace .line { fill: none; stroke: var(--accent); stroke-width: 1.2; } .trace .bar { stroke: var(--accent); stroke-width: 2; fill: none; }
.trace .level { stroke: var(--look); stroke-width: 1; stroke-dasharray: 4 3; fill: none; } .trace text.level { fill: var(--look); stroke: none; }
.signed { display: grid; grid-template-columns: repeat(3, 1fr); gap: 24px; margin-top: 36px; } .signed span { border-top: 1px solid var(--ink); padding-top: 4px; font-size: 12px; color: var(--quiet); }
@page { size: ${width_mm}mm ${height_mm}mm; margin: ${MARGIN_MM}mm; }
@media print {
  .template { break-before: page; border: 0; margin: 0; padding: 0; }
  .sheet section { break-inside: auto; }
  .sheet .unbroken { break-inside: avoid; }
  .sheet header { display: flex; } .sheet header .estimate { text-align: right; margin: 0; } .sheet h1 { font-size: 16pt; }
  .sheet section { padding-top: 9pt; margin-top: 9pt; } .sheet section:first-of-type { border: 0; margin-top: 0; }
  .onepage { font-size: 7.5pt; line-height: 1.25; } .onepage section { padding-top: 4pt; margin-top: 4pt; } .onepage .headline { font-size: 12pt; margin: 0; }
  .onepage td, .onepage th { padding-top: 1px; padding-bottom: 1px; } .onepage .below, .onepage .noted, .onepage .lead { font-size: 7pt; line-height: 1.2; margin: 0; }
  .onepage .plots { grid-template-columns: repeat(4, 1fr); gap: 2px 12px; } .onepage h2 { font-size: 10pt; margin-bottom: 2pt; } .onepage figcaption { font-size: 7pt; } .onepage .signed { margin-top: 18pt; }
}
`;
}
