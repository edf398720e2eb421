/** Answers: results as JSON, refusals as code, sentence and status. */
import type { DataError, Notice, Result } from '../../core/errors.ts';
import type { ErrorReply, SeasonReply } from '../../core/host-contract.ts';
import type { Session } from './season-sessions.ts';

/** Statuses of refusals by code, as the contract names them; the others are 422: understood, and refused. */
const STATUSES: Readonly<Record<string, number>> = {
  bad_json: 400,
  bad_request: 400,
  bad_columns: 400,
  not_signed_in: 401,
  not_from_here: 403,
  outside_folder: 403,
  no_such_route: 404,
  no_such_season: 404,
  no_such_job: 404,
  no_such_file: 404,
  no_such_folder: 404,
  no_such_upload: 404,
  no_such_record: 404,
  no_result: 404,
  not_open: 404,
  wrong_method: 405,
  stale_revision: 409,
  open_elsewhere: 409,
  changed_outside: 409,
  lock_lost: 409,
  other_build: 409,
  overtaken: 409,
  name_taken: 409,
  body_too_large: 413,
  wrong_content_type: 415,
  internal_fault: 500,
  not_available: 501,
  disk_full: 507,
};

/** Nothing that the host says may be kept by a cache or taken for another kind of content. */
const HEADERS = { 'cache-control': 'no-store', 'x-content-type-options': 'nosniff' };

export function jsonReply(body: unknown, status = 200): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: { ...HEADERS, 'content-type': 'application/json; charset=utf-8' },
  });
}

export function errorReply(
  error: Pick<DataError, 'code' | 'text'>,
  notices: readonly Notice[] = [],
): Response {
  const body: ErrorReply = { code: error.code, text: error.text, ...(notices.length > 0 ? { notices } : {}) };
  return jsonReply(body, STATUSES[error.code] ?? 422);
}

/** A result as its JSON or its refusal. */
export function resultReply(result: Result<unknown>): Response {
  return result.ok ? jsonReply(result.value) : errorReply(result.error, result.notices);
}

/** Bytes that are no page: `name` is offered for saving. */
export function fileReply(pieces: AsyncIterable<Uint8Array>, name: string, bytes?: number): Response {
  return new Response(streamOf(pieces), {
    headers: {
      ...HEADERS,
      'content-type': 'application/octet-stream',
      'content-disposition': `attachment; filename*=UTF-8''${encodeURIComponent(name).replaceAll("'", '%27')}`,
      'content-security-policy': "sandbox; default-src 'none'",
      ...(bytes === undefined ? {} : { 'content-length': String(bytes) }),
    },
  });
}

/** The report as a page of its own or in a frame of the window: it may have its style and its pictures, and nothing else. */
export function reportReply(pieces: AsyncIterable<Uint8Array>): Response {
  return new Response(streamOf(pieces), {
    headers: {
      ...HEADERS,
      'content-type': 'text/html; charset=utf-8',
      'content-security-policy':
        "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'self'",
      'x-frame-options': 'SAMEORIGIN',
    },
  });
}

export interface RangedFile {
  readonly size: number;
  /** Changes with the file. */
  readonly stamp: string;
  /** Bytes from the first to the last, both included. */
  readonly read: (first: number, last: number) => AsyncIterable<Uint8Array>;
}

/** The part of a file that a `Range` header asks for [RFC 9110 §14.2], one part only; all of it without one. */
export function rangeReply(range: string | null, { size, stamp, read }: RangedFile): Response {
  const headers = {
    ...HEADERS,
    'content-type': 'application/octet-stream',
    'accept-ranges': 'bytes',
    etag: stamp,
  };
  const asked = /^bytes=(\d{1,15})-(\d{0,15})$/.exec(range ?? '');
  if (!asked)
    return new Response(streamOf(read(0, size - 1)), {
      headers: { ...headers, 'content-length': String(size) },
    });
  const first = Number(asked[1]);
  const last = Math.min(asked[2] === '' ? size - 1 : Number(asked[2]), size - 1);
  if (first > last)
    return new Response(null, { status: 416, headers: { ...headers, 'content-range': `bytes */${size}` } });
  return new Response(streamOf(read(first, last)), {
    status: 206,
    headers: {
      ...headers,
      'content-range': `bytes ${first}-${last}/${size}`,
      'content-length': String(last - first + 1),
    },
  });
}

export function bytesReply(bytes: Uint8Array<ArrayBuffer>, type: string): Response {
  return new Response(bytes, { headers: { ...HEADERS, 'content-type': type } });
}

/** Server-sent events, as long as the stream lasts. */
export function eventsReply(stream: ReadableStream<Uint8Array>): Response {
  return new Response(stream, {
    headers: { ...HEADERS, 'content-type': 'text/event-stream; charset=utf-8' },
  });
}

/** An open season as the window sees it. */
export function seasonReply(
  { key, store, built, remarks }: Session,
  notices: readonly Notice[] = [],
): SeasonReply {
  return {
    season: key,
    folder: store.folder,
    revision: store.revision,
    document: store.document,
    notices: [...notices, ...remarks.splice(0)],
    history: store.history,
    last_build: built?.build ?? null,
  };
}

/** Pulled as the other side takes it; ends the source when the other side goes away. */
function streamOf(pieces: AsyncIterable<Uint8Array>): ReadableStream<Uint8Array> {
  const source = pieces[Symbol.asyncIterator]();
  return new ReadableStream<Uint8Array>({
    pull: async (controller) => {
      const { done, value } = await source.next();
      if (done) controller.close();
      else controller.enqueue(value);
    },
    cancel: async () => {
      await source.return?.();
    },
  });
}
