/** The sensor's health through the season, a row a machine and day, with what matters for yield. */
import type { HealthDay } from '../../result.ts';
import { ABSENT, grouped } from './figures.ts';
import { html, type Markup } from './markup.ts';
import { machineName, type ReportContext, STATE_MARKS } from './report-context.ts';

/** Nothing for logs without paddles. */
export function healthSection(context: ReportContext): Markup {
  const days = context.result.summary.health ?? [];
  if (days.length === 0) return html``;
  const alerts = days.flatMap(({ machine, day, alerts: found }) =>
    found.map(
      ({ verdict, text, code }) =>
        html`<li>${STATE_MARKS[verdict]}<span>${machineName(context, machine)}, ${day}: ${text} <code>${code}</code></span></li>`,
    ),
  );
  const list = alerts.length === 0 ? '' : html`<ul class="plain judgement">${alerts}</ul>`;
  return html`<section><h2>Sensor through the season <span class="kind">by machine and day</span></h2>${list}
<div class="wide"><table><thead><tr><th scope="col">machine, day</th><th scope="col">paddles</th><th scope="col">mean fill, %</th><th scope="col">empty level, mm</th><th scope="col">a paddle every, ms</th><th scope="col">unevenness, %</th><th scope="col">noise of a heap, mm</th><th scope="col">missed of 1000</th></tr></thead><tbody>${days.map((day) => dayRow(day, context))}</tbody></table></div></section>
`;
}

function dayRow(day: HealthDay, context: ReportContext): Markup {
  const worst = day.alerts.some(({ verdict }) => verdict === 'mend')
    ? 'mend'
    : day.alerts.length > 0
      ? 'look'
      : 'good';
  const fill = day.mean_fill === null ? ABSENT : grouped(100 * day.mean_fill, 1);
  return html`<tr><th scope="row">${STATE_MARKS[worst]}${machineName(context, day.machine)} <span class="kind">${day.day}</span></th><td>${grouped(day.paddles, 0)}</td><td>${fill}</td><td>${grouped(day.empty_mm, 1)}</td><td>${grouped(day.period_ms, 1)}</td><td>${grouped(day.jitter_pct, 2)}</td><td>${grouped(day.noise_mm, 1)}</td><td>${grouped(day.missed_per_1000, 1)}</td></tr>`;
}
