/** The built window's own files, and no others. */
import { readFile } from 'node:fs/promises';
import { extname } from 'node:path';
import { fileInside } from './season-folder.ts';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
};

/**
 * The file of `folder` (a real path) that a path names, `index.html` for `/`; `undefined` when it is not there, leads
 * out of the folder, or is of a kind that no window has.
 */
export async function staticFile(folder: string, pathname: string): Promise<Response | undefined> {
  let path: string;
  try {
    path = decodeURIComponent(pathname.slice(1)) || 'index.html';
  } catch {
    return undefined;
  }
  const type = TYPES[extname(path).toLowerCase()];
  if (type === undefined || path.includes('\\') || path.includes('\0')) return undefined;
  const real = await fileInside(folder, path);
  if (!real.ok) return undefined;
  return new Response(new Uint8Array(await readFile(real.value)), { headers: { 'content-type': type } });
}
