/** The window's only way to the host: every route of the contract as a typed call over fetch. */

import type { TreatmentChoices } from '../../core/analysis/comparison/treatment-file.ts';
import { COLUMN_WIRE_TYPE, type ColumnBlock, decodeColumns } from '../../core/column-wire.ts';
import {
  type BeamCheckReply,
  type Bodies,
  type ErrorReply,
  type JobReply,
  pathTo,
  type Replies,
  ROUTES,
  type RouteName,
  type UploadReply,
} from '../../core/host-contract.ts';
import type { CheckMeasures } from '../../core/install/check-measures.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { eventsOf } from './event-stream.ts';

export type Steps = Readonly<Record<string, string>>;

/** Routes that answer JSON and take a JSON body, or none. */
type JsonRoute = keyof Replies;
type BodyOf<R extends JsonRoute> = R extends keyof Bodies ? [body: Bodies[R]] : [];

/** A refusal of the host, or a host that does not answer. */
export class HostTrouble extends Error {
  readonly reply: ErrorReply;
  readonly status: number;

  constructor(reply: ErrorReply, status: number) {
    super(reply.text);
    this.name = 'HostTrouble';
    this.reply = reply;
    this.status = status;
  }
}

export interface HostClient {
  /** Throws `HostTrouble` when the host refuses or does not answer. */
  call<R extends JsonRoute>(route: R, steps: Steps, ...body: BodyOf<R>): Promise<Replies[R]>;
  upload(season: string, file: File): Promise<UploadReply>;
  /** Judges a short log that belongs to no season. */
  checkLog(file: File, measures: CheckMeasures): Promise<BeamCheckReply>;
  /** Every state of the job until it has ended; the last is returned. */
  watchJob(job: string, onState: (state: JobReply) => void, signal: AbortSignal): Promise<JobReply>;
  readPoints(season: string, build: string, field: number): Promise<ColumnBlock>;
  /** Cells of a field's surface by these settings. */
  readSurface(season: string, build: string, field: number, settings: SurfaceSheet): Promise<ColumnBlock>;
  /** What a file of treatments that was sent offers to choose from. */
  readTreatments(season: string, upload: string): Promise<TreatmentChoices>;
  readText(season: string, path: string): Promise<string>;
  /** Address of a file of the season folder, for a link. */
  fileAddress(season: string, path: string): string;
  packAddress(season: string): string;
}

/** A client that sends through `send`: `fetch` of the window, or a stand-in's. */
export function hostClient(send: typeof fetch): HostClient {
  const ask = async (route: RouteName, steps: Steps, request: RequestInit, query = ''): Promise<Response> => {
    const { method } = ROUTES[route];
    let response: Response;
    try {
      response = await send(`${pathTo(route, steps)}${query}`, { method, ...request });
    } catch {
      throw new HostTrouble(SILENT, 0);
    }
    if (response.ok) return response;
    throw new HostTrouble(await refusalOf(response), response.status);
  };
  const columns = async (route: RouteName, steps: Steps, query = ''): Promise<ColumnBlock> => {
    const response = await ask(route, steps, { headers: { accept: COLUMN_WIRE_TYPE } }, query);
    const decoded = decodeColumns(new Uint8Array(await response.arrayBuffer()));
    if (!decoded.ok) throw new HostTrouble(decoded.error, response.status);
    return decoded.value;
  };
  const fileQuery = (path: string) => `?path=${encodeURIComponent(path)}`;

  return {
    async call(route, steps, ...[body]) {
      const response = await ask(route, steps, body === undefined ? {} : jsonRequest(body));
      return response.json();
    },
    async upload(season, file) {
      const request = { body: file, headers: { 'content-type': 'application/octet-stream' } };
      const response = await ask('uploadFile', { season, name: file.name }, request);
      return response.json();
    },
    async checkLog(file, measures) {
      const request = { body: file, headers: { 'content-type': 'application/octet-stream' } };
      const query = `?measures=${encodeURIComponent(JSON.stringify(measures))}`;
      return (await ask('checkBeam', { name: file.name }, request, query)).json();
    },
    async watchJob(job, onState, signal) {
      const response = await ask('watchJob', { job }, { signal });
      let last: JobReply | undefined;
      for await (const event of eventsOf(response)) {
        if (event.name !== 'job') continue;
        last = JSON.parse(event.text) as JobReply;
        onState(last);
        if (hasEnded(last)) return last;
      }
      // The stream was cut off: ask once how things stand.
      const state: JobReply = await (await ask('readJob', { job }, { signal })).json();
      onState(state);
      return state;
    },
    readPoints: (season, build, field) => columns('readPoints', { season, build, field: String(field) }),
    readSurface: (season, build, field, settings) => {
      const query = `?settings=${encodeURIComponent(JSON.stringify(settings))}`;
      return columns('readSurface', { season, build, field: String(field) }, query);
    },
    async readTreatments(season, upload) {
      const query = `?upload=${encodeURIComponent(upload)}`;
      return (await ask('readTreatments', { season }, {}, query)).json();
    },
    async readText(season, path) {
      return (await ask('readFile', { season }, {}, fileQuery(path))).text();
    },
    fileAddress: (season, path) => `${pathTo('readFile', { season })}${fileQuery(path)}`,
    packAddress: (season) => pathTo('packSeason', { season }),
  };
}

export function hasEnded({ state }: JobReply): boolean {
  return state === 'done' || state === 'failed' || state === 'cancelled';
}

const SILENT: ErrorReply = {
  code: 'host_silent',
  text: 'The program behind this window does not answer. What you have done is saved; start Sheaflight again.',
};

function jsonRequest(body: unknown): RequestInit {
  return { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } };
}

async function refusalOf(response: Response): Promise<ErrorReply> {
  try {
    const reply: unknown = await response.json();
    if (isRefusal(reply)) return reply;
  } catch {
    // Not JSON: said below.
  }
  return { code: 'host_fault', text: `The program answered with status ${response.status}; try again.` };
}

function isRefusal(reply: unknown): reply is ErrorReply {
  return typeof reply === 'object' && reply !== null && 'code' in reply && 'text' in reply;
}
