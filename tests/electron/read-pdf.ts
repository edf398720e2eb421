/** A PDF as a reader that is not ours sees it. */
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

export interface ReadPdf {
  readonly pages: readonly {
    readonly text: string;
    /** Left, bottom, right, top, in points. */
    readonly view: readonly number[];
    /** The page's part of the structure, as JSON. */
    readonly structure: string;
  }[];
  /** All text, spaces and line ends as one space. */
  readonly text: string;
  readonly info: Readonly<Record<string, unknown>>;
  readonly mark: Readonly<Record<string, unknown>> | null;
}

export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const loading = getDocument({ data: Uint8Array.from(bytes), verbosity: 0, useSystemFonts: false });
  const document = await loading.promise;
  const pages = await Promise.all(
    Array.from({ length: document.numPages }, async (_, k) => {
      const page = await document.getPage(k + 1);
      const { items } = await page.getTextContent();
      const text = items.map((item) => ('str' in item ? item.str + (item.hasEOL ? '\n' : '') : '')).join('');
      return { text, view: page.view, structure: JSON.stringify(await page.getStructTree()) };
    }),
  );
  const { info } = await document.getMetadata();
  const mark = (await document.getMarkInfo()) as ReadPdf['mark'];
  await loading.destroy();
  const text = pages
    .map((page) => page.text)
    .join('\n')
    .replaceAll(/\s+/g, ' ');
  return { pages, text, info: info as ReadPdf['info'], mark };
}
