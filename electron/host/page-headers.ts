/** Headers that every page and file of the window is sent with, whoever carries it. */

/**
 * Content security policy of the window: scripts, styles, fonts and workers from the program itself and nothing else, no
 * inline code, no plugins, nothing sent anywhere but to the host. Frames show pages of the host only: reports, which are sandboxed.
 */
const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "font-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "worker-src 'self'",
  "frame-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "object-src 'none'",
];

const POLICY_HEADER = 'content-security-policy';

/** The policy; with a tile server that the user has chosen, pictures may be asked of that one origin too, and of no other. */
export function pagePolicy(tiles?: string): string {
  const widened = (line: string) => (/^(?:img|connect)-src /.test(line) ? `${line} ${tiles}` : line);
  return (tiles === undefined ? POLICY : POLICY.map(widened)).join('; ');
}

const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'x-frame-options': 'DENY',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=(), payment=()',
};

/**
 * The response with the headers of a page where it has none of its own (the report has its own policy).
 * `tiles`: origin of the tile server that the user has chosen.
 */
export function withPageHeaders(response: Response, tiles?: string): Response {
  for (const [name, text] of Object.entries(PAGE_HEADERS))
    if (!response.headers.has(name)) response.headers.set(name, text);
  if (!response.headers.has(POLICY_HEADER)) response.headers.set(POLICY_HEADER, pagePolicy(tiles));
  return response;
}
