/**
 * The season as one HTML page that needs nothing else: no script, no font, no network. Light and dark by the reader's
 * own setting, and fit for paper.
 */
import type { Notice } from '../../errors.ts';
import { isoFromUnix } from '../../iso-time.ts';
import type { SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { fieldSection } from './field-section.ts';
import { findingsSection } from './findings-section.ts';
import { healthSection } from './health-section.ts';
import { lagSection } from './lag-section.ts';
import { ledgerSection } from './ledger-section.ts';
import { loadsSection } from './loads-section.ts';
import { html, Markup } from './markup.ts';
import { cautionSection, inputSection, noticeSection, settingSection } from './record-section.ts';
import type { ReportContext } from './report-context.ts';
import { REPORT_STYLE } from './report-style.ts';
import { signalSection } from './signal-section.ts';

/**
 * The text of `report.html`, a piece a section. Everything that comes from files is escaped, and a content security
 * policy forbids scripts and network besides.
 */
export function* reportPieces(
  season: Season,
  result: SeasonResult,
  notices: readonly Notice[],
): Generator<string> {
  const context: ReportContext = { season, result, notices, system: season.units ?? 'metric' };
  yield head(context).text;
  yield findingsSection(context).text;
  for (const field of result.summary.fields) yield fieldSection(field, context).text;
  yield loadsSection(context).text;
  yield ledgerSection(context).text;
  yield signalSection(context).text;
  yield healthSection(context).text;
  yield lagSection(context).text;
  yield noticeSection(context).text;
  yield settingSection(context).text;
  yield inputSection(context).text;
  yield cautionSection().text;
  yield '</main>\n</body>\n</html>\n';
}

function head({ season, result }: ReportContext): Markup {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="color-scheme" content="light dark">
<meta name="generator" content="${result.summary.generated_by}">
<title>${season.name}: yield report</title>
<style>${new Markup(REPORT_STYLE)}</style>
</head>
<body>
<main>
<header>
<div><p class="kind">Yield report</p><h1>${season.name}</h1><p class="kind">${harvestDays(result)}</p></div>
<p class="estimate">Estimate only. Not a legal-for-trade weight.<br>Settle on certified scale tickets.</p>
</header>
`;
}

/** First and last day of harvest, UTC. */
function harvestDays({ points, epoch_utc_s }: SeasonResult): string {
  let first_s = Number.POSITIVE_INFINITY;
  let last_s = Number.NEGATIVE_INFINITY;
  for (const { t_s, screened_by } of points) {
    for (let row = 0; row < t_s.length; row++) {
      if (screened_by[row] !== 0) continue;
      first_s = Math.min(first_s, t_s[row]);
      last_s = Math.max(last_s, t_s[row]);
    }
  }
  const first = isoFromUnix(epoch_utc_s + first_s)?.slice(0, 10);
  const last = isoFromUnix(epoch_utc_s + last_s)?.slice(0, 10);
  if (first === undefined || last === undefined) return 'nothing harvested';
  return first === last ? `harvested ${first}` : `harvested ${first} to ${last}`;
}
