/** The last page of a report: settings that matter, the sensor's health, comparisons, what to look at, cautions, provenance. */

import type { Notice } from '../../errors.ts';
import { gatheredNotices, gatheredText } from '../../gathered-notices.ts';
import type { LagSummary } from '../../result.ts';
import { M_PER_FT, M_PER_MILE } from '../../units.ts';
import { ESTIMATE_ONLY } from '../caution.ts';
import type { Block, NotesBlock, TableRow } from '../document/document.ts';
import { ABSENT, grouped, percent } from '../report/figures.ts';
import { lagMethodWords } from '../report/lag-section.ts';
import { SEVERITIES } from '../report/record-section.ts';
import { machineName, type ReportContext } from '../report/report-context.ts';
import type { ReportComparison, ReportField, ReportMaterial } from './report-material.ts';

/** More than these are counted: `report.html` and `summary.json` have all. */
const MOST_NOTICES = 7;
const MOST_INPUTS = 12;
const MOST_HEALTH = 6;

/** Lag beside ground; what was screened stands in the ledger. */
export function settingBlocks(field: ReportField, material: ReportMaterial): Block[] {
  return [
    { kind: 'heading', level: 2, text: 'How the map was made' },
    {
      kind: 'columns',
      columns: [
        {
          share: 1,
          blocks: [
            { kind: 'heading', level: 3, text: 'Lag', aside: 'cutting line to beam' },
            { kind: 'table', ...lagTable(field, material) },
          ],
        },
        {
          share: 1,
          blocks: [
            { kind: 'heading', level: 3, text: 'Ground' },
            { kind: 'table', ...groundTable(field, material) },
          ],
        },
      ],
    },
  ];
}

function lagTable({ summary }: ReportField, context: ReportContext) {
  const lags = context.result.summary.lags.filter(({ field }) => field === summary.name);
  const rows: TableRow[] = lags.map((lag) => ({
    cells: [
      { text: machineName(context, lag.machine), state: lag.method === 'assumed' ? 'look' : 'good' },
      withError(lag),
      grouped(lag.applied_s, 1),
    ],
    below: lagMethodWords(lag.method),
  }));
  if (rows.length === 0) rows.push({ cells: ['no flow to shift', ABSENT, ABSENT] });
  return {
    columns: [
      { head: '', holds: 'words' },
      { head: 'transport, s', holds: 'number' },
      { head: 'put back by, s', holds: 'number' },
    ],
    rows,
  } as const;
}

function withError({ transport_s, transport_se_s }: LagSummary): string {
  const error = transport_se_s === null ? '' : ` ± ${grouped(transport_se_s, 2)}`;
  return `${grouped(transport_s, 2)}${error}`;
}

/** How wide headers were driven over how much new ground. */
function groundTable({ points }: ReportField, { season, system }: ReportContext) {
  const widths_m = season.machines.map(({ header }) => header.width_m);
  let way_m = 0;
  let driven_m2 = 0;
  let fresh_m2 = 0;
  for (let row = 0; row < (points?.t_s.length ?? 0); row++) {
    if (points === undefined || points.pass[row] < 0 || !(points.distance_m[row] > 0)) continue;
    way_m += points.distance_m[row];
    driven_m2 += points.distance_m[row] * (widths_m[points.machine[row]] ?? Number.NaN);
    fresh_m2 += points.fresh_area_m2[row];
  }
  const length = (m: number) => (system === 'us' ? `${grouped(m / M_PER_FT, 1)} ft` : `${grouped(m, 2)} m`);
  const far = system === 'us' ? `${grouped(way_m / M_PER_MILE, 1)} mi` : `${grouped(way_m / 1000, 1)} km`;
  const cells = (name: string, text: string): TableRow => ({ cells: [name, text] });
  return {
    columns: [
      { head: '', holds: 'words' },
      { head: '', holds: 'number' },
    ],
    rows: [
      cells('way driven while cutting', way_m > 0 ? far : ABSENT),
      cells('mean width cut', way_m > 0 ? length(fresh_m2 / way_m) : ABSENT),
      cells(
        'of the header not in standing crop',
        driven_m2 > 0 ? percent(Math.max(0, 1 - fresh_m2 / driven_m2)) : ABSENT,
      ),
    ],
  } as const;
}

/** The sensor's health and what else to look at, beside each other where there are both. */
export function stateBlocks(health: readonly Block[], notices: readonly Block[]): Block[] {
  if (health.length === 0) return [...notices];
  return [
    { kind: 'heading', level: 2, text: 'State of things' },
    {
      kind: 'columns',
      columns: [
        { share: 1, blocks: health },
        { share: 1, blocks: notices },
      ],
    },
  ];
}

/** What the sensor's own record says of the machines named, worst first. */
export function healthBlocks(machines: readonly string[], context: ReportContext): Block[] {
  const days = (context.result.summary.health ?? []).filter(({ machine }) => machines.includes(machine));
  if (days.length === 0) return [];
  const alerts = days.flatMap((day) => day.alerts.map((alert) => ({ ...alert, day })));
  alerts.sort((a, b) => SEVERITIES.indexOf(a.verdict) - SEVERITIES.indexOf(b.verdict));
  const notes: NotesBlock['notes'][number][] = alerts.slice(0, MOST_HEALTH).map(({ verdict, text, day }) => ({
    state: verdict,
    text: [{ strong: `${machineName(context, day.machine)}, ${day.day}:` }, ` ${text}`],
  }));
  if (alerts.length === 0)
    notes.push({
      state: 'good',
      text: `Nothing that matters for yield on ${days.length === 1 ? 'the one day' : `${days.length} machine days`}.`,
    });
  if (alerts.length > MOST_HEALTH)
    notes.push({ state: 'aside', text: `And ${alerts.length - MOST_HEALTH} more, in report.html.` });
  return [
    { kind: 'heading', level: 3, text: 'Sensor health' },
    { kind: 'notes', notes },
  ];
}

/** Nothing where nothing was compared. */
export function comparisonBlocks(comparisons: readonly ReportComparison[]): Block[] {
  if (comparisons.length === 0) return [];
  return [
    { kind: 'heading', level: 2, text: comparisons.length === 1 ? 'Comparison' : 'Comparisons' },
    ...comparisons.flatMap(({ name, field, finding, heads, rows }): Block[] => [
      { kind: 'heading', level: 3, text: name, aside: field },
      { kind: 'paragraph', text: finding, keepsWithNext: true },
      ...(rows.length === 0
        ? []
        : [
            {
              kind: 'table' as const,
              columns: heads.map((head, k) => ({
                head,
                holds: k === 0 ? ('words' as const) : ('number' as const),
              })),
              rows: rows.map((cells) => ({ cells })),
            },
          ]),
    ]),
  ];
}

/** What was noticed and needs a look: of the whole season, or what does not speak of other fields only. */
export function noticeBlocks(context: ReportContext, field?: string): Block[] {
  const isOurs = (notice: Notice) => field === undefined || isAbout(notice, field, context);
  // what is said of loads stands under the calibration
  const loads = context.result.summary.calibrations
    .flatMap(({ loads: own }) => own)
    .filter(({ why }) => why !== '');
  const isSaid = ({ text }: Notice) => loads.some(({ why }) => text.includes(why));
  const found = context.notices.filter(
    (notice) => notice.severity !== 'info' && isOurs(notice) && !isSaid(notice),
  );
  const graver = [...found].sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
  const gathered = gatheredNotices(graver);
  const notes: NotesBlock['notes'][number][] = gathered.slice(0, MOST_NOTICES).map((one) => ({
    state: one.notice.severity === 'mend' ? 'mend' : 'look',
    text: gatheredText(one),
  }));
  if (graver.length === 0) notes.push({ state: 'good', text: 'Nothing else was found that needs a look.' });
  if (gathered.length > MOST_NOTICES)
    notes.push({ state: 'aside', text: `And ${gathered.length - MOST_NOTICES} more, in report.html.` });
  return [
    { kind: 'heading', level: 3, text: 'To look at' },
    { kind: 'notes', notes },
  ];
}

/** Whether a notice is about the field or about all of them: not about others or their crops alone. */
function isAbout({ text, source }: Notice, field: string, { season }: ReportContext): boolean {
  const own = season.fields.find(({ name }) => name === field);
  const others = season.fields.filter(({ name }) => name !== field);
  if (source === field || mentions(text, field)) return true;
  if (own !== undefined && mentions(text, own.crop)) return true;
  return !others.some(({ name, crop }) => source === name || mentions(text, name) || mentions(text, crop));
}

/** Whether `name` stands in the text as words of its own. */
function mentions(text: string, name: string): boolean {
  for (let at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + 1)) {
    const [before, after] = [text[at - 1] ?? ' ', text[at + name.length] ?? ' '];
    if (!/[\p{L}\p{N}]/u.test(before) && !/[\p{L}\p{N}]/u.test(after)) return true;
  }
  return false;
}

/** That the figures are estimates, and what they are as good as. */
export function cautionBlocks(): Block[] {
  return [
    { kind: 'heading', level: 2, text: 'Cautions' },
    {
      kind: 'paragraph',
      text: [
        { strong: ESTIMATE_ONLY },
        ' The figures are only as good as the scale and the moisture meter that they were calibrated against.',
      ],
    },
  ];
}

/** Program, input files with their lines and SHA-256, and the hash of the settings. */
export function provenanceBlocks({ result, season, settings_sha256 }: ReportMaterial): Block[] {
  const { inputs, generated_by } = result.summary;
  const shown = inputs.slice(0, MOST_INPUTS);
  const lines = inputs.reduce((sum, { lines: count }) => sum + count, 0);
  const rows: TableRow[] = [
    ...shown.map(
      ({ path, lines: count, sha256 }): TableRow => ({
        cells: [path, grouped(count, 0), { text: '', quiet: sha256 }],
      }),
    ),
    ...(inputs.length > shown.length
      ? [
          {
            cells: [`and ${inputs.length - shown.length} more, in summary.json`, '', ''],
            tone: 'aside' as const,
          },
        ]
      : []),
    { cells: [`settings of “${season.name}”`, '', { text: '', quiet: settings_sha256 }], tone: 'total' },
  ];
  return [
    { kind: 'heading', level: 2, text: 'Provenance' },
    {
      kind: 'paragraph',
      keepsWithNext: true,
      text: `Made by ${generated_by} from ${inputs.length === 1 ? 'one file' : `${inputs.length} files`} of ${grouped(lines, 0)} lines. The same files and settings give this report again, byte for byte; the hashes below tell whether they are the same.`,
    },
    {
      kind: 'table',
      columns: [
        { head: 'input', holds: 'words' },
        { head: 'lines', holds: 'number' },
        { head: 'SHA-256', holds: 'words' },
      ],
      rows,
    },
  ];
}
