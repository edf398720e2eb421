/** Headers that every page and file of the window is sent with, whoever carries it. */

/**
 * Content security policy of the window: scripts, styles, fonts and workers from the program itself and nothing else, no
 * inline code, no plugins, no frames, nothing sent anywhere but to the host.
 */
export const PAGE_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "font-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "object-src 'none'",
].join('; ');

export const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': PAGE_POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'x-frame-options': 'DENY',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=(), payment=()',
};

/** The response with the headers of a page where it has none of its own (the report has its own policy). */
export function withPageHeaders(response: Response): Response {
  for (const [name, text] of Object.entries(PAGE_HEADERS))
    if (!response.headers.has(name)) response.headers.set(name, text);
  return response;
}
