/**
 * Prints a sheet, or saves it. The page's policy lets no inline style in, so the sheet is built into an empty frame of its
 * own, whose style is made by script; only that frame is printed.
 */

const FRAME = 'print-frame';

/** `text` is a whole page as the core writes it. */
export function printSheet(text: string): void {
  for (const old of document.querySelectorAll(`.${FRAME}`)) old.remove();
  const frame = document.createElement('iframe');
  frame.className = FRAME;
  frame.title = 'Sheet to print';
  frame.tabIndex = -1;
  frame.setAttribute('aria-hidden', 'true');
  document.body.append(frame);
  const page = frame.contentDocument;
  const view = frame.contentWindow as (Window & typeof globalThis) | null;
  if (page === null || view === null) throw new RangeError('a frame was made without a page');
  // an empty page would be laid out by the rules of pages without a doctype
  page.open();
  page.write('<!doctype html><html lang="en"><head><title></title></head><body></body></html>');
  page.close();
  const { title, style, body } = partsOf(text);
  const sheet = new view.CSSStyleSheet();
  sheet.replaceSync(style);
  page.adoptedStyleSheets = [sheet];
  page.title = title;
  page.body.innerHTML = body;
  view.focus();
  view.print();
}

/** Offers the page as a file. */
export function saveSheet(text: string, name: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'text/html' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** What stands in a page between its tags; the core escapes everything that comes from files. */
export function partsOf(text: string): {
  readonly title: string;
  readonly style: string;
  readonly body: string;
} {
  const between = (from: string, to: string) => {
    const start = text.indexOf(from);
    const end = text.indexOf(to, start);
    if (start < 0 || end < 0) throw new RangeError(`a sheet without ${from}`);
    return text.slice(start + from.length, end);
  };
  const entities: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', '#39': "'", amp: '&' };
  const title = between('<title>', '</title>').replaceAll(
    /&(lt|gt|quot|#39|amp);/g,
    (_, name: string) => entities[name],
  );
  return { title, style: between('<style>', '</style>'), body: between('<body>', '</body>') };
}
