/** Bodies of requests: read no further than they may be long, and taken for nothing but what they should be. */
import { failure, type Result, success } from '../../core/errors.ts';
import type { RouteName } from '../../core/host-contract.ts';
import { jsonPathText } from '../../core/json-text.ts';
import { bodySchema } from './request-schemas.ts';

/** A season sheet with thousands of entries fits many times. */
const MOST_JSON_BYTES = 4 << 20;
/** The largest file that a disk or stick usually holds. */
export const MOST_UPLOAD_BYTES = 16 * 2 ** 30;

/** The JSON body of `route`, checked; `undefined` for a route without one. */
export async function jsonBody(route: RouteName, request: Request): Promise<Result<unknown>> {
  const schema = bodySchema(route);
  if (schema === undefined) return success(undefined);
  if (!/^application\/json\s*(;|$)/i.test(request.headers.get('content-type') ?? ''))
    return failure(refusal('wrong_content_type', 'The request must say that its body is application/json.'));
  const pieces: Uint8Array[] = [];
  for await (const piece of limitedPieces(request, MOST_JSON_BYTES)) {
    if (piece === 'too_large')
      return failure(
        refusal('body_too_large', 'The request is larger than anything that the window asks for.'),
      );
    pieces.push(piece);
  }
  let found: unknown;
  try {
    found = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(pieces)));
  } catch {
    return failure(refusal('bad_json', 'The body of the request is not JSON.'));
  }
  const checked = schema.safeParse(found);
  if (checked.success) return success(checked.data);
  const issue = checked.error.issues[0];
  const where = jsonPathText(issue.path.filter((step) => typeof step !== 'symbol'));
  const place = where === 'the sheet' ? 'the body' : where;
  return failure(refusal('bad_request', `The request is not understood: ${place}: ${issue.message}.`));
}

/** The body piece by piece; ends with `too_large` once it is longer than `most`. */
export async function* limitedPieces(
  request: Request,
  most: number,
): AsyncGenerator<Uint8Array | 'too_large'> {
  const said = Number(request.headers.get('content-length') ?? 0);
  if (said > most) {
    yield 'too_large';
    return;
  }
  if (request.body === null) return;
  let bytes = 0;
  for await (const piece of request.body as unknown as AsyncIterable<Uint8Array>) {
    bytes += piece.length;
    if (bytes > most) {
      yield 'too_large';
      return;
    }
    yield piece;
  }
}

/** Bodies of bytes must say so: pages of other sites can send the three simple kinds of form without asking. */
export function bytesFault(request: Request): Result<undefined> {
  const type = request.headers.get('content-type') ?? '';
  if (/^application\/(octet-stream|zip)\s*(;|$)/i.test(type)) return success(undefined);
  return failure(
    refusal('wrong_content_type', 'The request must say that its body is application/octet-stream.'),
  );
}

function refusal(code: string, text: string) {
  return { code, source: 'request', text };
}
