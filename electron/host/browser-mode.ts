/**
 * The window in a browser of the user's own: the same handler behind Node's http server, on this machine's loopback
 * address and a port that is free. Nobody else on the network can reach it, and no page of another site can use it.
 */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Readable } from 'node:stream';
import type { ReadableStream as NodeStream } from 'node:stream/web';
import type { Handler } from './handler.ts';
import { withPageHeaders } from './page-headers.ts';
import { errorReply } from './replies.ts';
import { createSignIn, foreignness, type SignIn } from './sign-in.ts';
import { staticFile } from './static-files.ts';

export interface BrowserModeOptions {
  readonly handler: Handler;
  /** Real path of the built window; without it only the routes answer. */
  readonly pages?: string;
  /** Origin of the tile server that the user has chosen, the only other place that the page may ask. */
  readonly tiles?: () => Promise<string | undefined>;
  /** A fixed port, for tests; a free one when absent. */
  readonly port?: number;
  /** The clock, for tests. */
  readonly now?: () => number;
  /** Told of what should not happen while answering. */
  readonly onFault?: (caught: unknown) => void;
}

export interface BrowserMode {
  /** To be opened once, within ten minutes. */
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}

/** Starts to listen. Rejects with the system's error when it cannot. */
export async function startBrowserMode(options: BrowserModeOptions): Promise<BrowserMode> {
  const server = createServer({ maxHeaderSize: 16 << 10, requestTimeout: 0, headersTimeout: 20_000 });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host: '127.0.0.1', port: options.port ?? 0, exclusive: true }, resolve);
  });
  const { port } = server.address() as AddressInfo;
  const signIn = createSignIn(port, options.now);
  server.on('request', (request, response) => {
    answer(request, response, { ...options, port, signIn }).catch((caught: unknown) => {
      options.onFault?.(caught);
      response.destroy();
    });
  });
  return {
    url: `http://127.0.0.1:${port}/?token=${signIn.token}`,
    port,
    close: () => closed(server),
  };
}

interface Running extends BrowserModeOptions {
  readonly port: number;
  readonly signIn: SignIn;
}

/** In this order: where from, who, what. */
async function answer(request: IncomingMessage, response: ServerResponse, running: Running): Promise<void> {
  const foreign = foreignness(request, running.port);
  if (foreign !== undefined)
    return send(errorReply({ code: 'not_from_here', text: foreign }), request, response);
  const url = addressOf(request, running.port);
  if (url === undefined) return send(errorReply(badAddress()), request, response);
  const token = url.pathname === '/' && request.method === 'GET' ? url.searchParams.get('token') : null;
  if (token !== null) return signedIn(token, request, response, running);
  if (!running.signIn.isSignedIn(request)) return send(refusalFor(url, notSignedIn()), request, response);
  if (url.pathname.startsWith('/api/'))
    return send(await running.handler(webRequest(request, url)), request, response);
  const tiles = await running.tiles?.();
  return send(withPageHeaders(await page(request, url, running), tiles), request, response);
}

/** The token goes out of the address at once, so that it stands in no history. */
async function signedIn(
  token: string,
  request: IncomingMessage,
  response: ServerResponse,
  { signIn }: Running,
): Promise<void> {
  const cookie = signIn.exchanged(token);
  if (cookie === undefined && !signIn.isSignedIn(request))
    return send(refusalFor(new URL('http://127.0.0.1/'), notSignedIn()), request, response);
  const headers = new Headers({ location: '/', 'cache-control': 'no-store' });
  if (cookie !== undefined) headers.set('set-cookie', cookie);
  return send(new Response(null, { status: 303, headers }), request, response);
}

async function page(request: IncomingMessage, url: URL, { pages }: Running): Promise<Response> {
  if (request.method !== 'GET' && request.method !== 'HEAD')
    return errorReply({ code: 'wrong_method', text: `${url.pathname} can only be read.` });
  const file = pages === undefined ? undefined : await staticFile(pages, url.pathname);
  if (file !== undefined) return file;
  const text = pages === undefined ? 'The window is not built yet.' : `There is no page ${url.pathname}.`;
  return refusalFor(url, { code: 'no_such_file', text });
}

/** Programs get code and sentence, people the sentence alone. */
function refusalFor(url: URL, error: { readonly code: string; readonly text: string }): Response {
  const reply = errorReply(error);
  if (url.pathname.startsWith('/api/')) return reply;
  const headers = { 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' };
  return new Response(`${error.text}\n`, { status: reply.status, headers });
}

/** The address as it was asked for; `undefined` when it is none, or not one of this host. */
function addressOf(request: IncomingMessage, port: number): URL | undefined {
  const asked = request.url ?? '';
  if (!asked.startsWith('/') || asked.startsWith('//') || asked.includes('\\')) return undefined;
  return URL.canParse(asked, `http://127.0.0.1:${port}`)
    ? new URL(asked, `http://127.0.0.1:${port}`)
    : undefined;
}

function webRequest(request: IncomingMessage, url: URL): Request {
  const headers = new Headers();
  for (const [name, held] of Object.entries(request.headers))
    if (typeof held === 'string') headers.set(name, held);
  const hasBody = request.method !== 'GET' && request.method !== 'HEAD';
  return new Request(url, {
    method: request.method,
    headers,
    ...(hasBody
      ? { body: Readable.toWeb(request) as unknown as ReadableStream<Uint8Array>, duplex: 'half' }
      : {}),
  } as RequestInit);
}

async function send(answered: Response, request: IncomingMessage, response: ServerResponse): Promise<void> {
  withPageHeaders(answered);
  response.statusCode = answered.status;
  for (const [name, text] of answered.headers) response.setHeader(name, text);
  // What was not read of a refused body is not waited for.
  if (!request.complete && answered.status >= 400) response.setHeader('connection', 'close');
  if (answered.body === null || request.method === 'HEAD') {
    await answered.body?.cancel();
    response.end();
    return;
  }
  const body = Readable.fromWeb(answered.body as unknown as NodeStream<Uint8Array>);
  response.flushHeaders();
  response.once('close', () => body.destroy());
  await new Promise<void>((resolve) => {
    // A body that breaks off breaks the connection, so that nobody takes the half for the whole.
    body.once('error', () => {
      response.destroy();
      resolve();
    });
    response.once('close', resolve);
    body.pipe(response);
  });
}

function closed(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve());
    server.closeAllConnections();
  });
}

function badAddress() {
  return { code: 'bad_request', text: 'The address of the request is not well formed.' };
}

function notSignedIn() {
  const text =
    'This address is good for one browser, once. Start the program again and open the new address that it prints.';
  return { code: 'not_signed_in', text };
}
