/**
 * The whole program on one screen:
 *
 * pulses + fixes → fill → flow → shifted → located (+ cut width) → screened → yields → summary
 *
 * Pure: the same season and sources give the same result, whatever the machine, its locale or its clock. Every step says
 * what it is made of; with a memo, a step whose parts are the same as last time is not made again (`memo.ts`).
 */
import { adjustedFields } from './analysis/adjustment.ts';
import { diagnosedCalibrations } from './analysis/load-diagnostics.ts';
import { yieldNotices } from './analysis/yield-check.ts';
import { failure, type Result, success } from './errors.ts';
import type { Crop } from './grain/crops.ts';
import { findCrop } from './grain/find-crop.ts';
import { seasonHealth } from './install/season-health.ts';
import { lagSummaries } from './lag/lag-summary.ts';
import { fewOfEach } from './notice-limit.ts';
import { CANCELLED, Cancelled, Chain, once, type RunContext } from './pipeline/chain.ts';
import { logEntries, only, onlyOf, type SeasonSources, textFile } from './pipeline/season-sources.ts';
import * as steps from './pipeline/steps.ts';
import { findingsOfText, inputsOf } from './read/season-inputs.ts';
import type { SeasonResult } from './result.ts';
import { ledgerOfSeason } from './screen/ledger.ts';
import { rulesInForce } from './screen/rules.ts';
import type { Season } from './season.ts';
import { withReason } from './signal/beam-sentences.ts';
import { needsGrain } from './track/record-ground.ts';
import { unsmearHelps, unsmearIterations, unsmearNotices } from './yield/unsmear-plot.ts';

export type { RunContext } from './pipeline/chain.ts';
export type { SeasonSources } from './pipeline/season-sources.ts';

/** Runs the chain. Fails when the input is wrong in a way that no result can be made of, or when the user cancels. */
export function runPipeline(
  season: Season,
  sources: SeasonSources,
  context: RunContext,
): Result<SeasonResult> {
  try {
    return runChain(season, sources, context);
  } catch (thrown) {
    if (thrown instanceof Cancelled) return failure(CANCELLED);
    throw thrown;
  }
}

function runChain(season: Season, sources: SeasonSources, context: RunContext): Result<SeasonResult> {
  const chain = new Chain(context);
  const { machines, fields, settings = {} } = season;
  const crops = cropsOf(season);
  if (!crops.ok) return failure(crops.error);

  chain.stage('reading logs', 0.5);
  const tickets = chain.made(
    steps.TICKETS,
    (season.tickets ?? []).map((path) => textFile(path, sources)),
  );
  const boundaries = chain.made(
    steps.BOUNDARIES,
    fields.map(({ boundary }) => (boundary === undefined ? undefined : textFile(boundary, sources))),
  );
  const logs = chain.made(steps.LOGS, {
    entries: logEntries(season, sources),
    machines: machines.map(({ id }) => id),
    fields: fields.map(({ name }) => name),
  });
  const read = [...logs.notices, ...tickets.notices, ...boundaries.notices];
  if (!tickets.ok) return failure(tickets.error, read);
  if (!boundaries.ok) return failure(boundaries.error, read);
  if (!logs.ok) return failure(logs.error, read);
  const ofSeason = chain.made(steps.THIS_SEASON, { ...logs.value, ...tickets.value });
  const treatments = (season.comparisons ?? []).flatMap(({ file }) =>
    file === undefined ? [] : [file.path],
  );
  const files = [
    ...logs.value.files,
    ...tickets.value.files,
    ...boundaries.value.files,
    ...[...new Set(treatments)].map((path) => findingsOfText(textFile(path, sources))),
  ];
  const before = [...read, ...ofSeason.notices];
  if (!ofSeason.ok) return failure(ofSeason.error, before);

  chain.stage('paddles and clock', 0.52);
  const clocked = chain.made(steps.RECORDS, {
    season: { machines: only(machines, 'id', 'name', 'paddle', 'beam'), fields: only(fields, 'name') },
    logs: ofSeason.value,
  });
  const timed = [...before, ...clocked.notices];
  if (!clocked.ok) return failure(withReason(clocked.error, before), timed);
  const { epoch_utc_s, records } = clocked.value;

  chain.stage('fill and flow', 0.58);
  const grainOf = records.map((record, r) =>
    once(() => {
      const sheet = onlyOf(machines[record.machine], 'id', 'paddle', 'beam');
      return chain.made(steps.GRAIN, { record, sheet, signal: settings.signal }, `record ${r}`);
    }),
  );
  const grainOfAll = once(() => grainOf.map((grain) => grain()));

  chain.stage('ground', 0.62);
  const ground = chain.made(
    steps.GROUND,
    {
      season: {
        machines: only(machines, 'header', 'antenna'),
        settings: onlyOf(settings, 'point_interval_s', 'cut_width'),
      },
      records,
      grains: records.map((record, r) => (needsGrain(record) ? grainOf[r]() : undefined)),
      ...boundaries.value,
    },
    '',
    grainOfAll,
  );
  const grains = grainOfAll();
  const places = chain.made(steps.PLACES, {
    season: { fields: only(fields, 'name', 'boundary') },
    records,
    ...boundaries.value,
    ground,
  });
  if (!places.ok) return failure(places.error, timed);
  const outlines = chain.made(steps.OUTLINES, { fields: ground.fields, ...boundaries.value });

  chain.stage('lag', 0.75);
  const headers_m = machines.map(({ header }) => header.width_m);
  const sensors = { season: { machines: only(machines, 'id', 'paddle') }, records, grains, epoch_utc_s };
  const health = once(() => chain.made(steps.HEALTH, sensors));
  const evidence = chain.made(
    steps.LAG_EVIDENCE,
    { fields: ground.fields, headers_m, records, grains },
    '',
    health,
  );
  const lags = chain.made(steps.LAGS, {
    season: {
      machines: only(machines, 'id', 'name'),
      fields: only(fields, 'name'),
      settings: onlyOf(settings, 'lags'),
    },
    fields: ground.fields,
    records,
    evidence,
  });
  const credit = chain.made(steps.CREDIT, {
    fields: ground.fields,
    lags: lags.fields,
    grains,
    unsmear_iterations: unsmearIterations(settings),
  });

  chain.stage('loads', 0.85);
  const calibration = chain.made(steps.LOADS, {
    season: {
      machines: only(machines, 'id', 'name'),
      fields: only(fields, 'name', 'variety'),
      settings: onlyOf(settings, 'calibration'),
      units: season.units,
    },
    crops: crops.value,
    tickets: tickets.value.tickets,
    epoch_utc_s,
    records,
    grains,
    ground,
    credit,
  });

  chain.stage('yield and screening', 0.9);
  const moistures = records.map((record, r) => chain.made(steps.MOISTURE, record, `record ${r}`));
  const rules = rulesInForce(settings.screening);
  const { exclusions = [] } = settings;
  const frame = { machines: machines.map(({ id }) => id), epoch_utc_s };
  const made = ground.fields.map((fieldGround, f) => {
    const sheet = fields[fieldGround.field];
    const points = chain.made(
      steps.POINTS,
      {
        sheet,
        crop: crops.value[fieldGround.field],
        machines: only(machines, 'id'),
        records,
        grains,
        moistures,
        ground: fieldGround,
        lags: lags.fields[f],
        credit: credit[f],
        calibration,
      },
      sheet.name,
    );
    const screened = chain.made(
      steps.SCREENING,
      { field: points.field, rules, exclusions, frame },
      sheet.name,
    );
    return { ...screened, notices: points.notices };
  });

  chain.stage('summary', 0.97);
  const signals = chain.made(steps.SIGNALS, sensors);
  const adjusted = adjustedFields({
    season,
    crops: crops.value,
    ground,
    fields: made,
    calibration,
    machines: machines.map(({ id }) => id),
    sheet: settings.calibration,
  });
  const { fields: adjustedPoints, summaries } = adjusted;
  const warnings = fewOfEach([
    ...timed,
    ...grains.flatMap(({ notices }) => notices),
    ...ground.notices,
    ...places.notices,
    ...lags.notices,
    ...ground.fields.flatMap(({ field, plots }, f) =>
      unsmearNotices(
        plots.map(({ record }, p) => ({
          where: `${fields[field].name}, ${machines[records[record].machine].name}`,
          noise_gain: credit[f].noise_gains[p],
          mixing_over_noise: credit[f].mixing_over_noise[p],
        })),
      ),
    ),
    ...calibration.notices,
    ...made.flatMap(({ notices }) => notices),
    ...adjusted.notices,
    ...yieldNotices(summaries),
  ]);
  const result: SeasonResult = {
    epoch_utc_s,
    machines: machines.map(({ id }) => id),
    loads: calibration.spans,
    points: adjustedPoints.map(({ points }) => points),
    outlines,
    summary: {
      season: season.name,
      generated_by: context.generated_by,
      inputs: inputsOf(files, sources.hashes),
      fields: summaries,
      lags: lagSummaries(
        season,
        records,
        ground,
        lags.fields,
        credit.map(({ noise_gains, mixing_over_noise }) => ({
          noise_gains,
          unsmear_helps: mixing_over_noise.map(unsmearHelps),
        })),
      ),
      calibrations: diagnosedCalibrations(calibration, made, crops.value),
      machine_agreements: adjusted.agreements,
      load_proposals: calibration.proposals,
      mass_ledger: ledgerOfSeason(adjustedPoints),
      warnings: warnings.map(({ code, text }) => ({ code, text })),
      signals,
      health: seasonHealth(
        health(),
        adjustedPoints.map(({ points }) => points),
      ),
    },
  };
  context.progress('done', 1);
  return success(result, warnings);
}

/** Crop of every field. */
function cropsOf(season: Season): Result<Crop[]> {
  const crops: Crop[] = [];
  for (const field of season.fields) {
    const crop = findCrop(season, field.crop);
    if (!crop.ok) return failure({ ...crop.error, text: `Field "${field.name}": ${crop.error.text}` });
    crops.push(crop.value);
  }
  return success(crops);
}
