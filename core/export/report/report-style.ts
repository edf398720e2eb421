/** The report's look: warm grey, hairlines, one accent; the same tokens in light and dark; and on paper. */
export const REPORT_STYLE = `
:root {
  color-scheme: light dark;
  --paper: #f5f3ef; --panel: #ebe8e2; --ink: #1f1d1a; --quiet: #6a655d; --hair: #d9d4cb;
  --accent: #0d6468; --look: #8f5600; --mend: #9c3522; --ghost: #cfc9be;
  --tone-0: #b58a3c; --tone-1: #cfae74; --tone-2: #94702c; --tone-3: #e0cba4;
  --lost-0: #8d877d; --lost-1: #b4aea4;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #181715; --panel: #2b2925; --ink: #ebe7e0; --quiet: #a39d93; --hair: #38352f;
    --accent: #58b7b3; --look: #e2a84f; --mend: #ea8a73; --ghost: #524d45;
    --tone-0: #c99a45; --tone-1: #8f7136; --tone-2: #e3c07f; --tone-3: #6e5a31;
    --lost-0: #8a847a; --lost-1: #605b53;
  }
}
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); font: 14px/1.5 system-ui, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif; font-variant-numeric: tabular-nums; -webkit-text-size-adjust: 100%; }
body { margin: 0; }
main { max-width: 1240px; margin: 0 auto; padding: 36px 32px 64px; }
header { display: flex; justify-content: space-between; align-items: flex-end; gap: 32px; padding-bottom: 20px; border-bottom: 1px solid var(--hair); }
h1 { font-size: 30px; line-height: 1.2; font-weight: 600; letter-spacing: -0.01em; margin: 2px 0; overflow-wrap: anywhere; }
h2 { font-size: 19px; font-weight: 600; letter-spacing: -0.005em; margin: 0 0 16px; }
h3 { font-size: 14px; font-weight: 600; margin: 20px 0 8px; }
p { margin: 0 0 8px; max-width: 75ch; }
header p { margin: 0; }
.kind { color: var(--quiet); font-weight: 400; font-size: 14px; letter-spacing: 0; }
h2 .kind, h3 .kind { margin-left: 6px; }
.estimate { text-align: right; color: var(--quiet); white-space: nowrap; }
section { padding-top: 28px; margin-top: 28px; border-top: 1px solid var(--hair); }
.unit { color: var(--quiet); font-weight: 400; font-size: 0.86em; }
.figure { white-space: nowrap; }
.other { color: var(--quiet); font-size: 0.86em; margin-left: 0.35em; white-space: nowrap; }
.other .figure { font-weight: 400; }
.findings { border: 0; margin-top: 0; padding-top: 24px; }
.headline { font-size: 26px; line-height: 1.35; letter-spacing: -0.01em; max-width: none; margin: 0 0 4px; }
.headline .crop { margin-right: 0.15em; }
.headline .other, .headline .from { font-size: 17px; letter-spacing: 0; color: var(--quiet); }
.headline > .figure { font-weight: 600; }
.headline .from { margin: 0 0.2em; }
ul.plain { list-style: none; margin: 16px 0 0; padding: 0; }
.judgement li { display: grid; grid-template-columns: 20px 1fr; margin: 6px 0; max-width: 95ch; }
.state { display: inline-block; width: 1.45em; font-size: 0.86em; line-height: 1.75; }
.good { color: var(--accent); } .look { color: var(--look); } .mend { color: var(--mend); } .aside { color: var(--quiet); }
.noted { color: var(--quiet); font-size: 13px; margin: 0; columns: 2; column-gap: 36px; } .noted li { margin: 0 0 4px; break-inside: avoid; }
.stages { list-style: none; margin: 24px 0 0; padding: 0; display: flex; border-top: 1px solid var(--hair); }
.stages + section { margin-top: 0; }
.stages li { flex: 1 1 0; min-width: 0; padding: 12px 20px 12px 16px; position: relative; display: flex; flex-direction: column; }
.stages li:first-child { padding-left: 0; }
.stages li + li::before { content: ""; position: absolute; left: -4px; top: calc(50% - 5px); width: 9px; height: 9px; border: solid var(--quiet); border-width: 1px 1px 0 0; transform: rotate(45deg); }
.stages .name { color: var(--quiet); }
.stages .figure { font-size: 18px; font-weight: 600; white-space: normal; }
.stages .below { color: var(--quiet); font-size: 12px; line-height: 1.35; }
.beside { display: grid; grid-template-columns: minmax(0, 1fr) 360px; gap: 36px; align-items: start; }
figure { margin: 0; min-width: 0; }
figcaption, .lead, .key, .empty { color: var(--quiet); font-size: 13px; }
.map { display: block; width: 100%; height: auto; background: var(--panel); border-radius: 3px; }
.swaths { stroke-width: 0.5; stroke-linejoin: round; }
.swaths path { fill: currentColor; stroke: currentColor; } .map .ghost { color: var(--ghost); }
.map .marks, .mark path { fill: none; stroke: var(--ink); stroke-width: 0.9; stroke-opacity: 0.75; }
.map .halo { fill: none; stroke: var(--panel); stroke-width: 2.6; stroke-opacity: 0.8; }
.map .boundary { fill: none; stroke: var(--ink); stroke-width: 1.2; stroke-opacity: 0.7; stroke-linejoin: round; }
.map .scale path { fill: none; stroke: var(--ink); stroke-width: 1; }
.map .north path { fill: var(--ink); stroke: none; }
.map text, .plot text { fill: var(--ink); font-size: 12px; }
dl { margin: 0; } dt { color: var(--quiet); font-size: 13px; } dd { margin: 0; }
.figures { display: grid; grid-template-columns: 1fr 1fr; gap: 12px 24px; }
.figures .main { grid-column: 1 / -1; padding-bottom: 12px; border-bottom: 1px solid var(--hair); }
.figures .main dd > .figure { font-size: 34px; line-height: 1.15; font-weight: 600; letter-spacing: -0.015em; }
.figures .main dd > .figure .unit { font-size: 17px; letter-spacing: 0; }
.figures .main dd > .other { font-size: 17px; }
th[scope=row] { white-space: nowrap; } .none { color: var(--quiet); }
.figures dd > .figure { font-size: 16px; font-weight: 600; }
.figures dd > .other { display: block; margin-left: 0; font-size: 13px; }
.figures .main dd > .other { display: inline; margin-left: 0.35em; }
.figures .error { display: block; color: var(--quiet); font-size: 13px; }
.figures .error .other { font-size: 13px; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; color: var(--quiet); font-size: 13px; padding: 20px 0 6px; }
th { font-weight: 400; text-align: left; } thead th { color: var(--quiet); font-size: 13px; vertical-align: bottom; line-height: 1.3; }
td, thead th { text-align: right; padding: 4px 0 4px 14px; } th:first-child { text-align: left; padding: 4px 0; }
tbody tr + tr > *, thead + tbody tr:first-child > *, tfoot tr > * { border-top: 1px solid var(--hair); }
tfoot th, tfoot td { font-weight: 600; }
.words { text-align: left !important; }
.legend td, .legend th { border: 0 !important; padding-top: 1px; padding-bottom: 1px; line-height: 1.45; white-space: nowrap; }
.legend .bar { width: 60%; }
.legend .bar span { display: block; height: 14px; min-width: 2px; }
.legend td:last-child { color: var(--quiet); font-size: 13px; }
.mark { margin-right: 6px; vertical-align: -1px; }
.loads .bar { padding-left: 8px; width: 90px; } .loads svg { display: block; overflow: visible; }
.loads rect { fill: var(--accent); } .loads .zero { stroke: var(--quiet); stroke-width: 1; }
.loads .unused td, .loads .unused th { color: var(--quiet); } .loads .unused rect, .loads .tip { fill: var(--look); }
.loads .why td { border-top: 0 !important; text-align: left; color: var(--look); font-size: 13px; padding: 0 0 6px; }
.loads .why td + td { padding-left: 0; }
abbr { text-decoration: none; }
.key { margin-top: 8px; } .key .state + .state { margin-left: 12px; } .key .state { margin-left: 14px; } .key .state:first-child { margin-left: 0; }
.row { display: grid; grid-template-columns: repeat(auto-fill, minmax(185px, 1fr)); gap: 8px 24px; margin-top: 16px; } .row dd { font-weight: 600; }
.below { display: block; color: var(--quiet); font-size: 12px; line-height: 1.4; font-weight: 400; }
.signals th, .signals td { vertical-align: top; padding-top: 6px; padding-bottom: 6px; } .signals td { padding-left: 28px; }
.signals th[scope=row] { white-space: normal; min-width: 230px; width: 34%; } .signals thead th { color: var(--ink); font-weight: 600; padding-left: 28px; }
.finding { display: grid; grid-template-columns: 20px 1fr; min-width: 180px; } .finding .state { margin-top: 1px; }
.plot { display: block; width: 100%; max-width: 360px; height: auto; }
.plot text { fill: var(--quiet); font-size: 11px; } .plot .grid { stroke: var(--hair); stroke-width: 1; fill: none; }
.plot .agree { stroke: var(--quiet); stroke-width: 1; fill: none; stroke-dasharray: 4 3; }
.plot circle.used { fill: var(--accent); } .plot circle.unused { fill: none; stroke: var(--quiet); stroke-width: 1.5; }
.plot path.flagged { fill: var(--look); } .plot text.flagged { fill: var(--look); font-size: 12px; paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; }
.bars { display: grid; grid-template-columns: max-content 1fr; gap: 8px 16px; align-items: center; margin: 16px 0 20px; }
.ledger td, .ledger th { vertical-align: top; } .ledger thead th { vertical-align: bottom; }
.ledger .share { display: block; white-space: nowrap; color: var(--quiet); font-size: 12px; line-height: 1.3; }
.to-scale { display: flex; height: 20px; border-radius: 2px; overflow: hidden; }
.to-scale span { display: block; flex: none; } .swatch { display: inline-block; width: 11px; height: 11px; margin-right: 8px; border-radius: 1px; vertical-align: -1px; }
.mapped { background: var(--accent); } .screened.tone-0 { background: var(--tone-0); } .screened.tone-1 { background: var(--tone-1); }
.screened.tone-2 { background: var(--tone-2); } .screened.tone-3 { background: var(--tone-3); }
.lost.tone-0 { background: var(--lost-0); } .lost.tone-1 { background: var(--lost-1); }
.wide { overflow-x: auto; } code { font: 12px/1.5 ui-monospace, "SF Mono", Menlo, Consolas, monospace; color: var(--quiet); overflow-wrap: anywhere; }
.settings th { white-space: nowrap; vertical-align: top; padding-right: 24px !important; width: 1%; } .settings td { color: var(--quiet); padding-left: 0; }
.inputs th, .inputs td { vertical-align: top; } .inputs td:last-child { width: 34%; }
.cautions p { max-width: 95ch; }
@media (max-width: 1100px) {
  main { padding: 24px 24px 48px; }
  .beside { grid-template-columns: minmax(0, 1fr) 310px; gap: 24px; }
  .headline { font-size: 22px; } .headline .other, .headline .from { font-size: 15px; }
  .stages li { padding-right: 12px; } .stages .figure { font-size: 16px; }
}
@media (max-width: 820px) {
  .beside { grid-template-columns: minmax(0, 1fr); } header { display: block; } .estimate { text-align: left; margin-top: 8px; white-space: normal; }
  .stages { flex-wrap: wrap; } .stages li { flex-basis: 33%; padding-left: 0; } .stages li::before { display: none; }
}
.load-page table, .load-page ul.plain { margin-top: 16px; } .load-page ul.plain li { margin: 4px 0; max-width: 95ch; } .uses { display: grid; grid-template-columns: 1fr 1fr; gap: 0 36px; }
@media print {
  :root { --paper: #fff; --panel: #f4f2ee; --ink: #000; --quiet: #555; --hair: #ccc; --accent: #0d6468; --look: #8f5600; --mend: #9c3522; --ghost: #ccc; }
  @page { margin: 14mm; }
  html { font-size: 10pt; } main { max-width: none; padding: 0; }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  section { break-inside: auto; padding-top: 14pt; margin-top: 14pt; }
  .field, .ledger, figure, tr, .stages, .row, .bars { break-inside: avoid; } h2, h3 { break-after: avoid; }
  .beside { grid-template-columns: minmax(0, 1fr) 68mm; gap: 8mm; } .field table { font-size: 8.5pt; } .field td { padding-left: 8px; } .wide { overflow: visible; }
  .ledger td, .ledger thead th { padding-left: 6px; font-size: 8.5pt; } .swatch { margin-right: 4px; }
  .load-page { break-after: page; border: 0; margin-top: 0; padding-top: 8pt; font-size: 8pt; line-height: 1.35; } .load-page:last-of-type { break-after: auto; }
  .load-page .beside { grid-template-columns: minmax(0, 1fr) 56mm; gap: 6mm; } .load-page p { margin-bottom: 3pt; max-width: none; } .load-page th, .load-page td { padding-top: 1pt; padding-bottom: 1pt; font-size: 8pt; line-height: 1.3; }
  .load-page .row { grid-template-columns: repeat(auto-fill, minmax(32mm, 1fr)); gap: 3pt 8pt; margin-top: 6pt; } .load-page dt, .load-page figcaption, .load-page .key, .load-page caption { font-size: 7.5pt; } .load-page table, .load-page ul.plain { margin-top: 8pt; } .load-page ul.plain li { margin: 1pt 0; } .load-page h2 { margin-bottom: 6pt; font-size: 12pt; } .load-page h3 { margin: 6pt 0 2pt; font-size: 8.5pt; } .load-page .uses { gap: 0 8mm; } .load-page .uses p { font-size: 8pt; }
  .headline { font-size: 16pt; } .figures .main dd > .figure { font-size: 20pt; }
}
`;
