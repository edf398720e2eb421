/** Routes of the user's own base map: which it is, and the bytes of a tile archive on this computer, piece by piece. */
import { createReadStream } from 'node:fs';
import { open as openFile, stat } from 'node:fs/promises';
import { isAbsolute } from 'node:path';
import { type BaseMapChoice, tileOrigin } from '../../core/base-map.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { BaseMapReply } from '../../core/host-contract.ts';
import { codeOf } from './file-layer.ts';
import type { RouteHandlers } from './host-services.ts';
import { rangeReply } from './replies.ts';

type BaseMapRoute = 'readBaseMap' | 'setBaseMap' | 'readTiles';

/** First bytes of an archive, and the version behind them [PMTiles version 3 specification, section 3]. */
const MAGIC = 'PMTiles';
const VERSION = 3;

export const BASE_MAP_ROUTES: RouteHandlers<BaseMapRoute> = {
  readBaseMap: async ({ host }) => success(await replyOf(await host.baseMap())),

  setBaseMap: async ({ host, body }) => {
    const { base_map } = body;
    if (base_map !== null) {
      const fault = base_map.kind === 'file' ? await archiveFault(base_map.at) : addressFault(base_map.at);
      if (!fault.ok) return fault;
    }
    const set = await host.setBaseMap(base_map);
    return set.ok ? success(await replyOf(base_map)) : set;
  },

  readTiles: async ({ host, request }) => {
    const choice = await host.baseMap();
    if (choice?.kind !== 'file') {
      const text = 'No tile archive is chosen as a base map.';
      return failure({ code: 'no_such_file', source: 'base map', text });
    }
    const sound = await archiveFault(choice.at);
    if (!sound.ok) return sound;
    const { size, mtimeMs } = await stat(choice.at);
    const stamp = `"${size}-${Math.round(mtimeMs)}"`;
    const read = (start: number, end: number) =>
      createReadStream(choice.at, { start, end }) as AsyncIterable<Uint8Array>;
    return rangeReply(request.headers.get('range'), { size, stamp, read });
  },
};

async function replyOf(base_map: BaseMapChoice | null): Promise<BaseMapReply> {
  if (base_map?.kind !== 'file') return { base_map, problem: null };
  const sound = await archiveFault(base_map.at);
  return { base_map, problem: sound.ok ? null : sound.error.text };
}

function addressFault(address: string): Result<undefined> {
  if (tileOrigin(address) !== undefined) return success(undefined);
  const text = `"${address}" is no address of tiles; give one like https://tiles.example.org/{z}/{x}/{y}.png.`;
  return failure({ code: 'bad_tile_address', source: 'base map', text });
}

async function archiveFault(path: string): Promise<Result<undefined>> {
  const refused = (text: string): Result<undefined> =>
    failure({ code: 'bad_tile_archive', source: path, text });
  if (!isAbsolute(path)) return refused(`"${path}" is not a whole path; give one from the root or drive on.`);
  try {
    const file = await openFile(path, 'r');
    try {
      const head = new Uint8Array(MAGIC.length + 1);
      await file.read(head, 0, head.length, 0);
      const isArchive = String.fromCharCode(...head.subarray(0, -1)) === MAGIC && head.at(-1) === VERSION;
      if (!isArchive) return refused(`${path} is no PMTiles archive of version 3.`);
      return success(undefined);
    } finally {
      await file.close();
    }
  } catch (caught) {
    const cause = codeOf(caught);
    if (cause === '') throw caught;
    return refused(
      `${path} cannot be read (the system answered ${cause}); check the path and whether its disk is connected.`,
    );
  }
}
