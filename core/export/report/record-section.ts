/** The record: notices, settings, inputs, cautions: what someone needs to trust or repeat the figures. */

import type { Severity } from '../../errors.ts';
import { rulesInForce } from '../../screen/rules.ts';
import type { Season } from '../../season.ts';
import { ESTIMATE_ONLY } from '../caution.ts';
import { grouped } from './figures.ts';
import { html, type Markup } from './markup.ts';
import { plainWords, type ReportContext, STATE_MARKS } from './report-context.ts';
import { ruleWords } from './rule-marks.ts';

export function noticeSection({ notices, result }: ReportContext): Markup {
  const graver = [...notices].filter(({ severity }) => severity !== 'info');
  graver.sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
  const damage = new Set(result.summary.inputs.flatMap((input) => Object.keys(input.damage)));
  const infos = notices.filter(({ severity, code }) => severity === 'info' && !damage.has(code));
  const list =
    graver.length === 0
      ? html`<p>${STATE_MARKS.good} Nothing was found that needs a look.</p>`
      : html`<ul class="plain judgement">${graver.map((notice) => html`<li>${STATE_MARKS[notice.severity === 'mend' ? 'mend' : 'look']}<span>${notice.text} <code>${notice.code}</code></span></li>`)}</ul>`;
  const noted =
    infos.length === 0
      ? ''
      : html`<h3>Noted in passing <span class="kind">damaged lines are counted below, under Inputs</span></h3><ul class="plain noted">${infos.map((notice) => html`<li>${notice.text}</li>`)}</ul>`;
  return html`<section><h2>Notices <span class="kind">${graver.length} to look at</span></h2>${list}${noted}</section>
`;
}

export const SEVERITIES: readonly Severity[] = ['mend', 'look', 'info'];

export function settingSection({ season }: ReportContext): Markup {
  const machines = season.machines.map(
    (machine) =>
      html`<tr><th scope="row">${machine.name}</th><td class="words">${flattened({ id: machine.id, paddle: machine.paddle, beam: machine.beam, antenna: machine.antenna, header: machine.header }).join(', ')}</td></tr>`,
  );
  return html`<section><h2>Settings</h2>
<div class="wide"><table class="settings"><tbody>${machines}${ruleRows(season)}${choiceRows(season)}</tbody></table></div></section>
`;
}

function ruleRows(season: Season): Markup[] {
  const inForce = rulesInForce(season.settings?.screening);
  return Object.entries(inForce).map(
    ([rule, numbers]) =>
      html`<tr><th scope="row">screening: ${ruleWords(rule)}</th><td class="words">${
        Object.entries(numbers)
          .map(([name, held]) => `${name} ${held}`)
          .join(', ') || 'on'
      }</td></tr>`,
  );
}

/** What the sheet itself sets, apart from screening. */
function choiceRows({ settings }: Season): Markup[] {
  const { screening: _, ...others } = settings ?? {};
  const rows = Object.entries(others).map(
    ([name, held]) =>
      html`<tr><th scope="row">${plainWords(name)}</th><td class="words">${flattened(held).join(', ')}</td></tr>`,
  );
  return rows.length > 0
    ? rows
    : [
        html`<tr><th scope="row">everything else</th><td class="words">at its default, or found from the data</td></tr>`,
      ];
}

/** `paddle.pitch_mm 203.2`, … of a JSON value; nothing for what is not there. */
function flattened(held: unknown, name = ''): string[] {
  if (held === undefined || held === null) return [];
  if (typeof held !== 'object') return [`${name} ${String(held)}`.trim()];
  return Object.entries(held).flatMap(([key, inner]) =>
    flattened(
      inner,
      name === '' || Array.isArray(held) ? `${name}${Array.isArray(held) ? '' : key}` : `${name}.${key}`,
    ),
  );
}

/** Words for kinds of damage, after a number. */
const DAMAGE_WORDS: Readonly<Record<string, string>> = {
  truncated_last_line: 'last line cut off',
  nul_bytes: 'with NUL bytes',
  unreadable_line: 'unreadable',
  line_too_long: 'too long',
  out_of_order: 'out of order',
  repeated_line: 'repeated',
  bad_checksum: 'with a wrong checksum',
  missing_checksum: 'without a checksum',
  missing_edge: 'with an edge missing before',
  skipped_sentence: 'of kinds not used',
  bad_fix: 'without a valid position',
  bad_number: 'with a bad number',
};

export function inputSection({ result }: ReportContext): Markup {
  const rows = result.summary.inputs.map((input) => {
    const damage = Object.entries(input.damage).map(
      ([kind, count]) => `${grouped(count, 0)} ${DAMAGE_WORDS[kind] ?? plainWords(kind)}`,
    );
    return html`<tr><th scope="row">${input.path}</th><td>${grouped(input.lines, 0)}</td><td class="words">${damage.join(', ') || 'none'}</td><td class="words"><code>${input.sha256}</code></td></tr>`;
  });
  return html`<section><h2>Inputs <span class="kind">as they were read</span></h2>
<div class="wide"><table class="inputs"><thead><tr><th scope="col">file</th><th scope="col">lines</th><th scope="col" class="words">damage</th><th scope="col" class="words">SHA-256</th></tr></thead><tbody>${rows}</tbody></table></div>
<p class="lead">Made by ${result.summary.generated_by}. The same inputs and settings give this page again, byte for byte.</p></section>
`;
}

export function cautionSection(): Markup {
  return html`<section class="cautions"><h2>Cautions</h2>
<p><b>${ESTIMATE_ONLY}</b> The figures are only as good as the scale and the moisture meter that they were calibrated against.</p>
<p>Working at the elevator or the header: engine off, key out, everything stopped, header blocked. Follow the machine maker's instructions and local rules.</p></section>
`;
}
