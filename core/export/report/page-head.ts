/** The head that the season's pages share: one look, no script, no network. */
import { isoFromUnix } from '../../iso-time.ts';
import type { SeasonResult } from '../../result.ts';
import { html, Markup } from './markup.ts';
import type { ReportContext } from './report-context.ts';
import { REPORT_STYLE } from './report-style.ts';

/** Everything before the first section: the page's title, look and header. */
export function pageHead(
  { season, result }: ReportContext,
  { kind, title }: { readonly kind: string; readonly title: string },
): Markup {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="color-scheme" content="light dark">
<meta name="generator" content="${result.summary.generated_by}">
<title>${title}</title>
<style>${new Markup(REPORT_STYLE)}</style>
</head>
<body>
<main>
<header>
<div><p class="kind">${kind}</p><h1>${season.name}</h1><p class="kind">${harvestDays(result)}</p></div>
<p class="estimate">Estimate only. Not a legal-for-trade weight.<br>Settle on certified scale tickets.</p>
</header>
`;
}

/** First and last day of harvest, UTC. */
export function harvestDays({ points, epoch_utc_s }: Pick<SeasonResult, 'points' | 'epoch_utc_s'>): string {
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
