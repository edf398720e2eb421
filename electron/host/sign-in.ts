/** Who may talk to the host in browser mode: the one browser that opened the printed address, and no page of another site. */
import { randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

/** How long the printed address is good for. */
const TOKEN_MS = 10 * 60_000;

export interface SignIn {
  /** The token for the next address that is opened. */
  readonly token: string;
  /** The cookie's text when the token is right, unused and not too old; it is used up then. */
  readonly exchanged: (token: string) => string | undefined;
  readonly isSignedIn: (request: IncomingMessage) => boolean;
}

/** `port` keeps the cookies of two that run on one machine apart: browsers do not. */
export function createSignIn(port: number, now: () => number = Date.now): SignIn {
  const token = randomBytes(32).toString('base64url');
  const session = randomBytes(32).toString('base64url');
  const cookie = `sheaflight-${port}`;
  const until_ms = now() + TOKEN_MS;
  let isUsed = false;
  return {
    token,
    exchanged: (given) => {
      if (isUsed || now() > until_ms || !isSame(given, token)) return undefined;
      isUsed = true;
      return `${cookie}=${session}; Path=/; HttpOnly; SameSite=Strict`;
    },
    isSignedIn: (request) => {
      const given = cookiesOf(request).get(cookie);
      return given !== undefined && isSame(given, session);
    },
  };
}

/**
 * Why a request does not come from the window itself: another name for this machine (DNS rebinding), or a page of
 * another site. `undefined` when it does.
 */
export function foreignness(request: IncomingMessage, port: number): string | undefined {
  const host = `127.0.0.1:${port}`;
  if (request.headers.host !== host) return `This program answers at http://${host} only.`;
  const { origin } = request.headers;
  if (origin !== undefined && origin !== `http://${host}`)
    return 'Pages of other sites may not use this program.';
  const site = request.headers['sec-fetch-site'];
  // `none`: the user typed the address or opened it from another program.
  if (site !== undefined && site !== 'same-origin' && site !== 'none')
    return 'Pages of other sites may not use this program.';
  const changes = request.method !== 'GET' && request.method !== 'HEAD';
  if (changes && origin === undefined && site !== 'same-origin')
    return 'A request that changes something must say that it comes from this program.';
  return undefined;
}

function cookiesOf(request: IncomingMessage): Map<string, string> {
  const cookies = new Map<string, string>();
  for (const pair of (request.headers.cookie ?? '').split(';')) {
    const at = pair.indexOf('=');
    if (at > 0) cookies.set(pair.slice(0, at).trim(), pair.slice(at + 1).trim());
  }
  return cookies;
}

/** In the same time whatever the letters. */
function isSame(given: string, wanted: string): boolean {
  const a = Buffer.from(given);
  const b = Buffer.from(wanted);
  return a.length === b.length && timingSafeEqual(a, b);
}
