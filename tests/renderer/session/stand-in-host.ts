/** A host in memory: one season, edits as the real host makes them, builds that end at once. */

import type { SeasonEdit } from '../../../core/edits/season-edit.ts';
import { applyEdit } from '../../../core/edits.ts';
import type { JobReply, ResultReply, SeasonReply } from '../../../core/host-contract.ts';
import type { Summary } from '../../../core/result.ts';
import type { Season } from '../../../core/season.ts';
import { type HostClient, HostTrouble } from '../../../renderer/host-client/host-client.ts';

export const SEASON: Season = {
  format: 'sheaflight-season/1',
  name: 'Stand-in 2026',
  units: 'us',
  machines: [{ id: 'c1', name: 'combine 1', header: { width_m: 9 } }],
  fields: [
    { name: 'Home', crop: 'corn' },
    { name: 'Far', crop: 'soybean' },
  ],
  logs: [{ machine: 'c1', files: ['logs/a.log'] }],
};

export function summaryOf(mass_std_kg: number): Summary {
  const field = (name: string, crop: string) => ({
    name,
    crop,
    area_ha: 10,
    mean_yield_t_ha: mass_std_kg / 10_000,
    mean_yield_se_t_ha: 0.1,
    mean_yield_bu_ac: null,
    mass_wet_kg: mass_std_kg,
    mass_std_kg,
    moisture_pct: 15,
    standard_moisture_pct: 15,
    points: { total: 10, kept: 8, screened: { ramp: 2 } },
  });
  return {
    season: SEASON.name,
    generated_by: 'stand-in',
    inputs: [],
    fields: [field('Home', 'corn'), field('Far', 'soybean')],
    lags: [],
    signals: [],
    calibrations: [],
    mass_ledger: [],
    warnings: [],
  };
}

export interface StandIn {
  readonly client: HostClient;
  /** Routes in the order in which they were called. */
  readonly called: string[];
  /** Someone else changes the season. */
  changeBehindBack(edit: SeasonEdit): void;
}

export function standInHost(): StandIn {
  const states: { season: Season; name: string }[] = [{ season: SEASON, name: 'Opened' }];
  let at = 0;
  let builds = 0;
  let tries = 0;
  let built: ResultReply | undefined;
  const called: string[] = [];
  const reply = (): SeasonReply => ({
    season: 'key',
    folder: '/seasons/stand-in',
    revision: JSON.stringify(states[at].season),
    document: states[at].season,
    notices: [],
    last_build: built?.build ?? null,
    history: { entries: states.map(({ name }) => ({ name, utc: '2026-10-03T12:00:00Z' })), at },
  });
  const edited = (edit: SeasonEdit) => {
    const change = applyEdit(states[at].season, edit);
    if (!change.ok) throw new HostTrouble(change.error, 422);
    states.splice(at + 1);
    states.push(change.value);
    at++;
  };
  const mustBeFresh = (revision: string) => {
    if (revision !== reply().revision)
      throw new HostTrouble(
        { code: 'stale_revision', text: 'The season has changed since you saw it.' },
        409,
      );
  };
  const job = (): JobReply => ({
    job: `job-${builds}`,
    season: 'key',
    kind: 'build',
    state: 'done',
    stage: 'done',
    fraction: 1,
    error: null,
    report: null,
  });
  const resultOf = (build: string, total_kg: number): ResultReply => ({
    build,
    revision: reply().revision,
    summary: summaryOf(total_kg),
    notices: [],
    epoch_utc_s: 0,
    machines: ['c1'],
    loads: [],
    points: [
      { field: 'Home', crop: 'corn', rows: 2 },
      { field: 'Far', crop: 'soybean', rows: 2 },
    ],
  });
  const answers: Record<string, (body: { revision: string; edit: SeasonEdit }) => unknown> = {
    readHome: () => ({ folder: '/seasons', chosen_by: 'default', seasons: [], elsewhere: [] }),
    openSample: reply,
    readSeason: reply,
    editSeason: ({ revision, edit }) => {
      mustBeFresh(revision);
      edited(edit);
      return reply();
    },
    preview: ({ revision, edit }) => {
      mustBeFresh(revision);
      const change = applyEdit(states[at].season, edit);
      if (!change.ok) throw new HostTrouble(change.error, 422);
      return { ...resultOf(`try-${++tries}`, 200_000 + tries), name: change.value.name };
    },
    undo: ({ revision }) => {
      mustBeFresh(revision);
      at--;
      return reply();
    },
    redo: ({ revision }) => {
      mustBeFresh(revision);
      at++;
      return reply();
    },
    build: () => {
      builds++;
      built = resultOf(`job-${builds}`, 100_000 + builds);
      return job();
    },
    makeSurface: job,
    cancelJob: job,
    readExportChoice: () => ({ choice: null }),
    exportLayers: job,
    readResult: () => {
      if (built === undefined) throw new HostTrouble({ code: 'no_result', text: 'Not built yet.' }, 404);
      return built;
    },
  };
  const client: HostClient = {
    call: async (route, _steps, ...[body]) => {
      called.push(route);
      return answers[route](body as never) as never;
    },
    upload: async (_season, file) => ({ upload: 'u1', source_name: file.name, bytes: file.size }),
    checkLog: async () => {
      throw new HostTrouble({ code: 'not_available', text: 'No log is judged here.' }, 501);
    },
    watchJob: async () => job(),
    readPoints: async (_season, build, field) => ({
      about: { field: field === 0 ? 'Home' : 'Far', crop: 'corn', build },
      rows: 2,
      columns: new Map([['screened_by', new Uint8Array(2)]]),
    }),
    readSurface: async (_season, _build, field, settings) => ({
      about: {
        field: field === 0 ? 'Home' : 'Far',
        crop: 'corn',
        cell_m: settings.cell_m ?? 5,
        corners: 'null',
        details: JSON.stringify({ cells: 0, method: settings.method ?? 'kriging', notices: [] }),
      },
      rows: 0,
      columns: new Map(),
    }),
    readTreatments: async () => ({ polygons: 0, properties: [], guess: null }),
    readText: async () => '',
    fileAddress: (_season, path) => path,
    packAddress: () => '',
  };
  return { client, called, changeBehindBack: edited };
}
