/** The look of printed reports: that of the window in its light dress, on white, in points. */
import { PRINT } from '../pictures/palette.ts';

/** Room around the type area, mm: the type is as wide on A4 as on Letter. */
export const PAGE_MARGIN_MM = { top: 14, bottom: 17 };

/** The whole style sheet; `foot` stands at the foot of printed pages, whatever signs are in it. */
export function documentStyle(foot: string): string {
  return `
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { background: ${PRINT.panel}; color: ${PRINT.ink}; font: 9pt/1.42 system-ui, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif; font-variant-numeric: tabular-nums; print-color-adjust: exact; -webkit-print-color-adjust: exact; -webkit-text-size-adjust: 100%; }
body { margin: 0; }
main { width: 182mm; max-width: 100%; margin: 0 auto; padding: 18pt 0 36pt; box-sizing: content-box; }
.page { background: ${PRINT.paper}; padding: 14mm 14mm 17mm; margin: 0 -14mm 14pt; box-shadow: 0 0 0 0.6pt ${PRINT.hair}; }
p, dl, dd, ul, figure { margin: 0; padding: 0; }
header { display: flex; justify-content: space-between; align-items: flex-end; gap: 18pt; padding-bottom: 9pt; margin-bottom: 11pt; border-bottom: 0.6pt solid ${PRINT.hair}; }
header p { margin: 0; } .kind { color: ${PRINT.accent}; font-weight: 600; font-size: 8.5pt; }
h1 { font-size: 22pt; line-height: 1.18; font-weight: 600; letter-spacing: -0.01em; margin: 1pt 0 3pt; overflow-wrap: anywhere; }
.below, .beside, .quiet, .aside, figcaption, dt { color: ${PRINT.quiet}; }
.beside { text-align: right; font-size: 7.8pt; white-space: nowrap; }
h2 { font-size: 13pt; line-height: 1.25; font-weight: 600; letter-spacing: -0.005em; margin: 14pt 0 5pt; padding-top: 9pt; border-top: 0.6pt solid ${PRINT.hair}; break-after: avoid; }
.page > h2:first-child, header + h2 { margin-top: 0; padding-top: 0; border-top: 0; }
h3, h2.small { font-size: 9pt; line-height: inherit; letter-spacing: 0; font-weight: 600; margin: 10pt 0 3pt; padding: 0; border: 0; break-after: avoid; }
.columns h3:first-child, .columns h2:first-child { margin-top: 0; }
h2 .aside { font-size: 9pt; font-weight: 400; letter-spacing: 0; margin-left: 4pt; } h3 .aside, h2.small .aside { font-weight: 400; margin-left: 3pt; }
p { margin: 4pt 0; } p.quiet, figcaption { font-size: 7.8pt; line-height: 1.4; } figcaption { margin-top: 4pt; } figcaption b { color: ${PRINT.ink}; }
figure { break-inside: avoid; margin: 5pt 0 9pt; } figure svg { display: block; width: 100%; height: auto; }
.key { display: grid; grid-template-columns: 1.45fr 1.15fr 0.8fr 0.8fr; gap: 0 18pt; margin: 2pt 0 11pt; break-inside: avoid; }
.key > div + div { border-left: 0.6pt solid ${PRINT.hair}; padding-left: 10pt; }
dt { font-size: 7.8pt; } .figure { font-size: 14pt; line-height: 1.25; font-weight: 600; letter-spacing: -0.01em; white-space: nowrap; } .main .figure { font-size: 19pt; }
.figure .unit { font-size: 9.5pt; font-weight: 400; letter-spacing: 0; color: ${PRINT.quiet}; } .key .quiet { font-size: 7.8pt; }
table { border-collapse: collapse; width: 100%; font-size: 8.3pt; line-height: 1.32; margin: 2pt 0 6pt; }
caption { text-align: left; color: ${PRINT.quiet}; font-size: 8pt; padding: 6pt 0 2pt; }
th { font-weight: 400; text-align: left; } thead th { color: ${PRINT.quiet}; font-size: 7.6pt; vertical-align: bottom; }
td, th { padding: 2.1pt 0 2.1pt 9pt; vertical-align: top; } th:first-child, td:first-child { padding-left: 0; }
.number { text-align: right; white-space: nowrap; } thead .number { white-space: normal; } .words { text-align: left; }
tbody tr + tr > *, thead + tbody tr:first-child > * { border-top: 0.5pt solid ${PRINT.hair}; }
tr.sentence > * { border-top: 0 !important; padding-top: 0; color: ${PRINT.quiet}; font-size: 7.6pt; }
tr, .short { break-inside: avoid; } thead { display: table-header-group; }
tr.total > * { font-weight: 600; } tr.aside > * { color: ${PRINT.quiet}; }
.code { color: ${PRINT.quiet}; font-size: 6.2pt; font-weight: 400; overflow-wrap: anywhere; }
.held { break-after: avoid; } .swatch { display: inline-block; width: 7pt; height: 7pt; margin-right: 5pt; }
.state { display: inline-block; width: 11pt; font-size: 7pt; } .good { color: ${PRINT.accent}; } .look { color: ${PRINT.look}; } .mend { color: ${PRINT.mend}; } .state.aside { color: ${PRINT.quiet}; }
.notes { list-style: none; margin: 3pt 0 8pt; } .notes li { display: grid; grid-template-columns: 13pt minmax(0, 1fr); margin: 3pt 0; break-inside: avoid; } .notes li > span:only-child { grid-column: 1 / -1; } .notes .state { line-height: 1.8; }
.columns { display: grid; align-items: start; margin: 3pt 0; break-inside: avoid; }
@media (max-width: 210mm) { .page { margin-left: 0; margin-right: 0; padding: 8mm 6mm; } .columns, .key { grid-template-columns: minmax(0, 1fr) !important; row-gap: 8pt; } header { display: block; } .beside { text-align: left; white-space: normal; margin-top: 4pt; } .key > div + div { border-left: 0; padding-left: 0; } table { display: block; overflow-x: auto; } }
@page { margin: ${PAGE_MARGIN_MM.top}mm 14mm ${PAGE_MARGIN_MM.bottom}mm; @bottom-left { content: "${cssString(foot)}"; font: 7pt system-ui, Arial, sans-serif; color: ${PRINT.quiet}; white-space: nowrap; } @bottom-right { content: counter(page) " of " counter(pages); font: 7pt system-ui, Arial, sans-serif; color: ${PRINT.quiet}; } }
@media print { html { background: none; } main { width: 182mm; max-width: 100%; padding: 0; } .page { margin: 0; padding: 0; box-shadow: none; break-after: page; } .page:last-child { break-after: auto; } }
`;
}

/** Text within a string of a style sheet: whatever is not a letter, digit or space is written as its number, so that nothing ends the string or the sheet [CSS Syntax 3 §2.1]. */
function cssString(text: string): string {
  return [...text]
    .map((sign) => (/^[\p{L}\p{N} ]$/u.test(sign) ? sign : `\\${(sign.codePointAt(0) ?? 0).toString(16)} `))
    .join('');
}
