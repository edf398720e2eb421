/** A report as one page that needs nothing else: no script, no font, no network; made for paper of either size. */
import { html, Markup, NOTHING } from '../report/markup.ts';
import {
  type Block,
  COLUMN_GAP,
  type ColumnsBlock,
  type KeyFiguresBlock,
  type NotesBlock,
  type ReportDocument,
  runsOf,
  SHORT_TABLE,
  STATE_SIGNS,
  type State,
  type TableBlock,
  type TableCell,
  type Text,
} from './document.ts';
import { documentStyle } from './document-style.ts';
import { svgElement } from './drawing-svg.ts';

/** The text of the file, a piece a page. */
export function* documentHtmlPieces(report: ReportDocument): Generator<string> {
  yield head(report).text;
  for (const [k, blocks] of report.pages.entries()) {
    const top = k === 0 ? pageHead(report) : NOTHING;
    yield html`<section class="page">${top}${blocks.map(blockElement)}</section>
`.text;
  }
  yield '</main>\n</body>\n</html>\n';
}

function head(report: ReportDocument): Markup {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="generator" content="${report.generated_by}">
<title>${report.title}: ${report.kind.toLowerCase()}</title>
<style>${new Markup(documentStyle(report.foot))}</style>
</head>
<body>
<main>
`;
}

function pageHead({ kind, title, below, beside }: ReportDocument): Markup {
  return html`<header><div><p class="kind">${kind}</p><h1>${title}</h1>${below.map((line) => html`<p class="below">${line}</p>`)}</div><p class="beside">${beside.map((line, k) => html`${k > 0 ? html`<br>` : ''}${line}`)}</p></header>
`;
}

function blockElement(block: Block): Markup {
  switch (block.kind) {
    case 'heading': {
      const aside = block.aside === undefined ? '' : html` <span class="aside">${block.aside}</span>`;
      return block.level === 2
        ? html`<h2${block.look === 'small' ? html` class="small"` : ''}>${block.text}${aside}</h2>
`
        : html`<h3>${block.text}${aside}</h3>
`;
    }
    case 'paragraph':
      return html`<p class="${[block.tone, block.keepsWithNext && 'held'].filter(Boolean).join(' ')}">${textElement(block.text)}</p>
`;
    case 'figure': {
      const caption =
        block.caption === undefined ? '' : html`<figcaption>${textElement(block.caption)}</figcaption>`;
      return html`<figure${block.keepsWithNext ? html` class="held"` : ''}>${svgElement(block.drawing, block.about)}${caption}</figure>
`;
    }
    case 'table':
      return tableElement(block);
    case 'key_figures':
      return keyFigures(block);
    case 'notes':
      return notesList(block);
    case 'columns':
      return columns(block);
  }
}

function textElement(text: Text): Markup {
  const runs = runsOf(text).map((run) => {
    if (typeof run === 'string') return html`${run}`;
    return 'strong' in run ? html`<b>${run.strong}</b>` : html`<span class="quiet">${run.quiet}</span>`;
  });
  return html`${runs}`;
}

function stateMark(state: State): Markup {
  const { sign, words } = STATE_SIGNS[state];
  return html`<span class="state ${state}" role="img" aria-label="${words}">${sign}</span>`;
}

function tableElement({ caption, columns: heads, rows }: TableBlock): Markup {
  const isHeaded = heads.some(({ head: text }) => text !== '');
  const headRow = isHeaded
    ? html`<thead><tr>${heads.map(({ head: text, holds }) => (text === '' ? html`<td></td>` : html`<th scope="col" class="${holds}">${text}</th>`))}</tr></thead>`
    : '';
  const body = rows.map(({ cells, tone, below }) => {
    const [first, ...others] = cells;
    const line = html`<tr${tone === undefined ? '' : html` class="${tone}"`}><th scope="row">${cellContent(first)}</th>${others.map((cell, k) => html`<td class="${heads[k + 1].holds}">${cellContent(cell)}</td>`)}</tr>`;
    return below === undefined
      ? line
      : html`${line}<tr class="sentence"><td colspan="${heads.length}">${below}</td></tr>`;
  });
  const short = rows.length <= SHORT_TABLE ? html` class="short"` : '';
  return html`<table${short}>${caption === undefined ? '' : html`<caption>${caption}</caption>`}${headRow}<tbody>${body}</tbody></table>
`;
}

function cellContent(cell: TableCell): Markup {
  if (typeof cell === 'string') return html`${cell}`;
  const { text, state, quiet, swatch, strong } = cell;
  const mark = state === undefined ? '' : stateMark(state);
  const patch = swatch === undefined ? '' : html`<span class="swatch" style="background:${swatch}"></span>`;
  const after = quiet === undefined ? '' : html`<span class="code">${quiet}</span>`;
  return html`${mark}${patch}${strong ? html`<b>${text}</b>` : text}${after}`;
}

function keyFigures({ figures }: KeyFiguresBlock): Markup {
  const items = figures.map(({ name, figure, margin, below }, k) => {
    const unit = [margin, figure.unit].filter(Boolean).join(' ');
    const line = below === undefined ? '' : html`<dd class="quiet">${below}</dd>`;
    return html`<div${k === 0 ? html` class="main"` : ''}><dt>${name}</dt><dd class="figure">${figure.number}<span class="unit"> ${unit}</span></dd>${line}</div>`;
  });
  return html`<dl class="key">${items}</dl>
`;
}

function notesList({ notes }: NotesBlock): Markup {
  const items = notes.map(
    ({ state, text }) =>
      html`<li>${state === undefined ? '' : stateMark(state)}<span>${textElement(text)}</span></li>`,
  );
  return html`<ul class="notes">${items}</ul>
`;
}

function columns({ columns: parts }: ColumnsBlock): Markup {
  const tracks = parts.map(({ share }) => `minmax(0,${share}fr)`).join(' ');
  return html`<div class="columns" style="grid-template-columns:${tracks};column-gap:${COLUMN_GAP}pt">${parts.map(({ blocks }) => html`<div>${blocks.map(blockElement)}</div>`)}</div>
`;
}
