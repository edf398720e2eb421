/** Lag: how long grain is on its way from the cutting line to the beam, and how that was found. */
import type { LagSummary } from '../../result.ts';
import { ABSENT, grouped } from './figures.ts';
import { html, type Markup } from './markup.ts';
import { machineName, plainWords, type ReportContext, STATE_MARKS } from './report-context.ts';

const METHOD_WORDS: Readonly<Record<string, string>> = {
  ends_of_passes: 'flow starting and running out at the ends of passes',
  neighbour_agreement: 'passes beside each other, driven opposite ways',
  entered: 'entered by hand',
  as_logged: 'left as logged',
  assumed: 'assumed: the log does not tell',
};

/** The way the lag was found, in few words. */
export function lagMethodWords(method: string): string {
  return METHOD_WORDS[method] ?? plainWords(method);
}

export function lagSection(context: ReportContext): Markup {
  const { lags } = context.result.summary;
  if (lags.length === 0) return html``;
  const isUnsmeared = lags.some((lag) => lag.unsmear_noise_gain !== null);
  const noiseHead = isUnsmeared ? html`<th scope="col">noise by unsmearing</th>` : '';
  const rows = lags.map((lag) => {
    const mark = lag.method === 'assumed' ? STATE_MARKS.look : STATE_MARKS.good;
    const noise = isUnsmeared ? html`<td>${noiseWords(lag)}</td>` : '';
    return html`<tr><th scope="row">${mark}${lag.field} <span class="kind">${machineName(context, lag.machine)}</span></th><td>${withError(lag)}</td><td>${grouped(lag.neighbour_transport_s, 1)}</td><td>${grouped(lag.mixing_s, 2)}</td>${noise}<td><b>${grouped(lag.applied_s, 2)}</b></td><td class="words">${lagMethodWords(lag.method)}</td></tr>`;
  });
  const unsmearing = isUnsmeared
    ? ' Unsmearing puts the grain that threshing spread back to where it was cut; it changes the noise between neighbouring points by the factor shown.'
    : '';
  return html`<section><h2>Lag <span class="kind">from the cutting line to the beam, seconds</span></h2>
<p class="lead">Transport is the time until the first grain of a place reaches the beam; mixing, over how long threshing spreads it. The flow is put back by both together.${unsmearing}</p>
<div class="wide"><table><thead><tr><th scope="col">field</th><th scope="col">transport</th><th scope="col">second opinion, by neighbours</th><th scope="col">mixing</th>${noiseHead}<th scope="col">put back by</th><th scope="col" class="words">found by</th></tr></thead><tbody>${rows}</tbody></table></div></section>
`;
}

function withError({ transport_s, transport_se_s }: LagSummary): string {
  const error = transport_se_s === null ? '' : `\u00a0±\u00a0${grouped(transport_se_s, 2)}`;
  return `${grouped(transport_s, 2)}${error}`;
}

function noiseWords({ unsmear_noise_gain }: LagSummary): string {
  return unsmear_noise_gain === null ? ABSENT : `× ${grouped(unsmear_noise_gain, 2)}`;
}
