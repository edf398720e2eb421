/**
 * The host as one function on web-standard objects: a request in, a response out, whoever carries them. Routes, bodies
 * and answers are those of `core/host-contract.ts` and no others; a fault of ours is answered with a sentence, never
 * with a stack.
 */

import type { Result } from '../../core/errors.ts';
import { ROUTES, type RouteName } from '../../core/host-contract.ts';
import { nearestWord } from '../../core/nearest-word.ts';
import type { Call, HostServices } from './host-services.ts';
import { errorReply, resultReply } from './replies.ts';
import { jsonBody } from './request-body.ts';
import { BASE_MAP_ROUTES } from './routes-base-map.ts';
import { COMPARISON_ROUTES } from './routes-comparison.ts';
import { EXPORT_ROUTES } from './routes-export.ts';
import { FIRST_ACRE_ROUTES } from './routes-first-acre.ts';
import { REPORT_ROUTES } from './routes-reports.ts';
import { OPEN_SEASON_ROUTES } from './routes-season.ts';
import { SEASON_ROUTES } from './routes-seasons.ts';
import { SURFACE_ROUTES } from './routes-surface.ts';

export type Handler = (request: Request) => Promise<Response>;

const HANDLERS = {
  ...BASE_MAP_ROUTES,
  ...SEASON_ROUTES,
  ...OPEN_SEASON_ROUTES,
  ...SURFACE_ROUTES,
  ...REPORT_ROUTES,
  ...FIRST_ACRE_ROUTES,
  ...COMPARISON_ROUTES,
  ...EXPORT_ROUTES,
};

/** What all handlers have in common; the contract's types hold each to its own body and answer. */
type AnyHandler = (call: Call<RouteName>) => Promise<Result<unknown> | Response>;

/** Answers requests to `/api/…`. Who may ask is for the carrier to say (see `browser-mode.ts`). */
export function createHandler(host: HostServices): Handler {
  return async (request) => {
    try {
      return await answer(request, host);
    } catch (caught) {
      return errorReply(host.onFault(caught));
    }
  };
}

async function answer(request: Request, host: HostServices): Promise<Response> {
  const url = new URL(request.url);
  const given = stepsOf(url.pathname);
  if (given === undefined)
    return errorReply({ code: 'bad_request', text: 'The address of the request is not well formed.' });
  const matches = Object.entries(ROUTES).flatMap(([name, route]) => {
    const steps = matched(route.path, given);
    return steps === undefined ? [] : [{ name: name as RouteName, route, steps }];
  });
  if (matches.length === 0) return errorReply(noRoute(url.pathname));
  const match = matches.find(({ route }) => route.method === request.method);
  if (match === undefined) {
    const allowed = [...new Set(matches.map(({ route }) => route.method))];
    const reply = errorReply({
      code: 'wrong_method',
      text: `${url.pathname} is asked with ${allowed.join(' or ')}, not ${request.method}.`,
    });
    reply.headers.set('allow', allowed.join(', '));
    return reply;
  }
  const { name, route, steps } = match;
  const body = route.body === 'json' ? await jsonBody(name, request) : undefined;
  if (body !== undefined && !body.ok) return errorReply(body.error);
  const call = { steps, query: url.searchParams, body: body?.value, request, host };
  const handler = HANDLERS[name] as unknown as AnyHandler;
  const reply = await handler(call as Call<RouteName>);
  return reply instanceof Response ? reply : resultReply(reply);
}

/** The decoded steps of a path; `undefined` when one cannot be decoded or holds what no key or name does. */
function stepsOf(pathname: string): string[] | undefined {
  try {
    const steps = pathname.split('/').slice(1).map(decodeURIComponent);
    return steps.some((step) => step.includes('\0')) ? undefined : steps;
  } catch {
    return undefined;
  }
}

/** The steps that a route's path names, or `undefined` when the path is another one. Fixed steps win over named ones. */
function matched(path: string, given: readonly string[]): Record<string, string> | undefined {
  const wanted = path.split('/').slice(1);
  if (wanted.length !== given.length) return undefined;
  const steps: Record<string, string> = {};
  for (const [i, step] of wanted.entries()) {
    if (step.startsWith(':')) {
      if (given[i] === '') return undefined;
      steps[step.slice(1)] = given[i];
    } else if (step !== given[i]) return undefined;
  }
  return steps;
}

function noRoute(pathname: string) {
  const near = nearestWord(
    pathname,
    Object.values(ROUTES).map(({ path }) => path),
  );
  const hint = near === undefined ? '.' : `; did you mean ${near}?`;
  return { code: 'no_such_route', text: `Nothing answers at ${pathname}${hint}` };
}
