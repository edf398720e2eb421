/** The commissioning record: one page to print and keep with the season. */
import type { BeamCheck } from '../../install/beam-check.ts';
import { causeWords } from '../../install/causes.ts';
import type { Finding, NotJudged } from '../../install/finding.ts';
import { html, type Markup } from '../report/markup.ts';
import { STATE_MARKS } from '../report/report-context.ts';
import { evidencePlot } from './evidence-plot.ts';
import { type Paper, sheetPage } from './sheet-page.ts';

export interface RecordPrint {
  readonly machine: string;
  readonly paper: Paper;
  readonly generated_by: string;
}

/** Pictures that the page has room for: those of what is not well first, then those that show the whole. */
const MOST_PLOTS = 8;
/** With more findings than these, half the pictures make room for their sentences. */
const MANY_BAD = 4;
const CAUSES_SHOWN = 3;

/** Text of `beam-check.html`. */
export function checkSheet(check: BeamCheck, print: RecordPrint): string {
  return sheetPage(
    {
      kind: 'Commissioning record',
      title: print.machine,
      below: `from ${check.source}: ${check.extent.by_hand_paddles} paddles turned by hand, ${check.extent.under_power_s.toFixed(0)} s under power, ${check.extent.lines} lines`,
      beside: html`Engine off, key out, everything blocked<br>before anything is mended.`,
      paper: print.paper,
    },
    [
      html`<div class="onepage"><section class="findings"><p class="headline">${STATE_MARKS[check.verdict]} ${check.summary}</p></section>`,
      findingTable(check.findings),
      untold(check.not_judged),
      plots(check.findings),
      html`<div class="signed"><span>checked by</span><span>date, hours of the machine</span><span>mended, and by whom</span></div><p class="lead">Made by ${print.generated_by}. Yields are estimates, not legal-for-trade weights.</p></div>`,
    ],
  );
}

function findingTable(findings: readonly Finding[]): Markup {
  const rows = findings.map(({ title, verdict, figure, causes, todo }) => {
    const shown = causes.slice(0, CAUSES_SHOWN).map((cause) => causeWords(cause));
    const why =
      shown.length === 0
        ? ''
        : html`<br><span class="below">Likely, in this order: ${shown.join('; ')}. ${todo}</span>`;
    return html`<tr><th scope="row">${STATE_MARKS[verdict]}${title}</th><td class="words">${figure}${why}</td></tr>`;
  });
  return html`<section><h2>Findings <span class="kind">● good ▲ look ■ mend</span></h2><table class="checked"><tbody>${rows}</tbody></table></section>`;
}

function untold(open: readonly NotJudged[]): Markup {
  if (open.length === 0) return html``;
  return html`<section><h2>Not judged</h2><ul class="plain noted">${open.map(({ title, why }) => html`<li>${title}: ${why}.</li>`)}</ul></section>`;
}

function plots(findings: readonly Finding[]): Markup {
  const drawn = findings.flatMap(({ evidence }) => (evidence === undefined ? [] : [evidencePlot(evidence)]));
  const bad = findings.filter(({ verdict }) => verdict !== 'good').length;
  const shown = drawn
    .filter(({ text }) => text !== '')
    .slice(0, bad > MANY_BAD ? MOST_PLOTS / 2 : MOST_PLOTS);
  return html`<section class="unbroken"><h2>Evidence</h2><div class="plots">${shown}</div></section>`;
}
