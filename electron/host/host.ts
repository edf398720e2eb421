/** The host put together: what the window's shell, browser mode and tests start. */
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { tileOrigin } from '../../core/base-map.ts';
import type { DataError, Notice } from '../../core/errors.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { createHandler, type Handler } from './handler.ts';
import { chosenHome } from './home-folder.ts';
import type { HostServices, Importer } from './host-services.ts';
import { Jobs } from './jobs.ts';
import { type Environment, readPreferences, writePreferences } from './preferences.ts';
import { programFolder } from './program-version.ts';
import { type RecycleBin, systemBin } from './recycle-bin.ts';
import { seasonKey } from './season-card.ts';
import { SeasonSessions } from './season-sessions.ts';
import { WorkerPool } from './worker-pool.ts';

export interface HostOptions {
  readonly environment?: Environment;
  /** The library for this run. */
  readonly home?: string;
  readonly importer?: Importer;
  /** Another bin than the system's, e.g. the shell's own. */
  readonly bin?: RecycleBin;
  readonly pool?: WorkerPool;
  /** Writes a report of a mistake of ours and returns where it is. */
  readonly reportFault?: (caught: unknown) => string;
}

export interface Host {
  readonly handler: Handler;
  readonly services: HostServices;
  /** Origin of the tile server that the user has chosen, for the page's policy. */
  readonly tiles: () => Promise<string | undefined>;
  /** Stops all work and lets go of every season. */
  close(): Promise<void>;
}

export function createHost(options: HostOptions = {}): Host {
  const environment = options.environment ?? process.env;
  /** Chosen in the window while this runs; the option of the run no longer holds then. */
  let chosenNow: string | undefined;
  const onFault = (caught: unknown) => faultError(options.reportFault?.(caught));
  const sessions = new SeasonSessions();
  const onRemark = (folder: string, notice: Notice) => sessions.get(seasonKey(folder))?.remarks.push(notice);
  const services: HostServices = {
    home: async () =>
      chosenNow === undefined
        ? chosenHome(environment, options.home)
        : { folder: chosenNow, chosen_by: 'preference' },
    setHome: async (folder) => {
      const saved = await writePreferences(environment, { seasons_home: folder });
      if (saved.ok) chosenNow = folder;
      return saved;
    },
    baseMap: async () => (await readPreferences(environment)).base_map ?? null,
    setBaseMap: (choice) => writePreferences(environment, { base_map: choice }),
    exportChoice: async () => (await readPreferences(environment)).last_export ?? null,
    rememberExport: (choice) => writePreferences(environment, { last_export: choice }),
    sessions,
    jobs: new Jobs(onFault),
    pool: options.pool ?? new WorkerPool({ onRemark }),
    bin: options.bin ?? systemBin(environment),
    sample: sampleSeason,
    importer: options.importer,
    onFault,
  };
  return {
    handler: createHandler(services),
    services,
    tiles: async () => {
      const chosen = await services.baseMap();
      return chosen?.kind === 'address' ? tileOrigin(chosen.at) : undefined;
    },
    close: async () => {
      for (const { key, store } of services.sessions.all()) {
        await services.jobs.cancelSeason(key);
        await services.pool.leave(store.folder);
      }
      await services.sessions.closeAll();
      await services.pool.close();
    },
  };
}

/** The one folder of `sample-data/` that is a season. */
function sampleSeason(): string | undefined {
  const samples = join(programFolder(), 'sample-data');
  if (!existsSync(samples)) return undefined;
  const name = readdirSync(samples).find((entry) => existsSync(join(samples, entry, SEASON_FILE)));
  return name === undefined ? undefined : join(samples, name);
}

function faultError(report: string | undefined): DataError {
  const where =
    report === undefined
      ? ''
      : ` A report is in ${report}; please send it to whoever looks after the program.`;
  const text = `The program itself failed, which should not happen. Your season is as it was saved last.${where}`;
  return { code: 'internal_fault', source: 'program', text };
}
