/**
 * The whole program on one screen:
 *
 * pulses + fixes → fill → flow → shifted → located (+ cut width) → screened → yields → summary
 *
 * Pure: the same season and sources give the same result, whatever the machine, its locale or its clock.
 */
import { fieldSummaries } from './analysis/field-summary.ts';
import { calibrateSeason } from './calibrate/season-fit.ts';
import { type DataError, failure, type Notice, type Result, success } from './errors.ts';
import type { Crop } from './grain/crops.ts';
import { findCrop } from './grain/find-crop.ts';
import { lagsOfFields } from './lag/field-lags.ts';
import { lagSummaries } from './lag/lag-summary.ts';
import { withoutOtherSeasons } from './read/other-seasons.ts';
import { readSeasonInputs, type SeasonSources } from './read/season-inputs.ts';
import type { SeasonResult } from './result.ts';
import { ledgerOfSeason } from './screen/ledger.ts';
import { rulesInForce } from './screen/rules.ts';
import type { Season } from './season.ts';
import { grainOfMachine } from './signal/grain-of-machine.ts';
import { machinesOfSeason } from './signal/season-machines.ts';
import { signalSummaries } from './signal/signal-summary.ts';
import { groundOfFields } from './track/field-ground.ts';
import { placeNotices } from './track/place-check.ts';
import { outlinesOfFields } from './track/plane-rings.ts';
import { creditFields } from './yield/credit-fields.ts';
import { fallbackMoisture } from './yield/fallback-moisture.ts';
import { pointsOfField } from './yield/field-points.ts';
import { smoothMoisture } from './yield/moisture.ts';
import { unsmearIterations } from './yield/unsmear-plot.ts';

export type { SeasonSources } from './read/season-inputs.ts';

/** What the host lends to a run. */
export interface RunContext {
  /** Called between stages with the stage's name and the share of the whole that is done. */
  readonly progress: (stage: string, fraction: number) => void;
  /** Asked between stages; true ends the run with the error `cancelled`. */
  readonly shouldStop: () => boolean;
  /** Program and version, written into the summary. */
  readonly generated_by: string;
}

/** Runs the chain. Fails when the input is wrong in a way that no result can be made of, or when the user cancels. */
export function runPipeline(
  season: Season,
  sources: SeasonSources,
  context: RunContext,
): Result<SeasonResult> {
  const notices: Notice[] = [];
  const stage = (name: string, fraction: number) => {
    context.progress(name, fraction);
    if (context.shouldStop()) throw new Cancelled();
  };
  try {
    const crops = cropsOf(season);
    if (!crops.ok) return failure(crops.error);

    stage('reading logs', 0);
    const read = readSeasonInputs(season, sources, (done) => stage('reading logs', 0.5 * done));
    if (!read.ok) return read;
    const ofSeason = withoutOtherSeasons(read.value);
    if (!ofSeason.ok) return ofSeason;
    const inputs = ofSeason.value;

    stage('paddles and clock', 0.5);
    const machines = machinesOfSeason(season, inputs);
    if (!machines.ok) return failure(machines.error, [...inputs.notices, ...machines.notices]);
    const { epoch_utc_s, records } = machines.value;

    stage('fill and flow', 0.6);
    const grains = records.map((record) =>
      grainOfMachine(record, season.machines[record.machine], season.settings?.signal),
    );

    stage('ground', 0.65);
    const ground = groundOfFields(season, records, grains, inputs.boundaries);
    const misplaced = placeNotices(season, records, inputs.boundaries, ground);
    if (!misplaced.ok) return failure(misplaced.error, [...inputs.notices, ...machines.notices]);

    stage('lag', 0.75);
    const unsmear_iterations = unsmearIterations(season.settings);
    const lags = lagsOfFields(season, ground.fields, records, grains);
    const credit = creditFields(ground.fields, lags.fields, grains, { unsmear_iterations });

    stage('loads', 0.85);
    const calibration = calibrateSeason({
      season,
      crops: crops.value,
      inputs,
      epoch_utc_s,
      records,
      grains,
      ground,
      credit,
    });

    stage('yield and screening', 0.9);
    const rules = rulesInForce(season.settings?.screening);
    const moistures = records.map((record) => smoothMoisture(record.moisture));
    const fields = ground.fields.map((fieldGround, f) => {
      const sheet = season.fields[fieldGround.field];
      const crop = crops.value[fieldGround.field];
      const standard_moisture_pct = sheet.standard_moisture_pct ?? crop.standard_moisture_pct;
      const moisture = fallbackMoisture(
        sheet,
        standard_moisture_pct,
        moistures,
        fieldGround,
        lags.fields[f],
        calibration,
      );
      notices.push(...moisture.notices);
      return pointsOfField({
        sheet,
        crop: crop.name,
        standard_moisture_pct,
        fallback_moisture_pct: moisture.moisture_pct,
        machines: season.machines,
        records,
        grains,
        moistures,
        ground: fieldGround,
        lags: lags.fields[f],
        credit: credit[f],
        massFitOf: (machine) => calibration.massFitOf(machine, crop),
        loads: calibration.spans,
        rules,
      });
    });

    stage('summary', 0.97);
    const warnings = [
      ...inputs.notices,
      ...machines.notices,
      ...grains.flatMap((grain) => grain.notices),
      ...ground.notices,
      ...misplaced.notices,
      ...lags.notices,
      ...calibration.notices,
      ...notices,
    ];
    context.progress('done', 1);
    return success(
      {
        epoch_utc_s,
        machines: season.machines.map(({ id }) => id),
        loads: calibration.spans,
        points: fields.map(({ points }) => points),
        outlines: outlinesOfFields(ground.fields, inputs.boundaries),
        summary: {
          season: season.name,
          generated_by: context.generated_by,
          inputs: inputs.inputs,
          fields: fieldSummaries(season, crops.value, ground, fields, calibration),
          lags: lagSummaries(season, records, ground, lags.fields, credit),
          calibrations: calibration.summaries,
          mass_ledger: ledgerOfSeason(fields),
          warnings: warnings.map(({ code, text }) => ({ code, text })),
          signals: signalSummaries(season, records, grains),
        },
      },
      warnings,
    );
  } catch (thrown) {
    if (thrown instanceof Cancelled) return failure(CANCELLED);
    throw thrown;
  }
}

class Cancelled extends Error {}

const CANCELLED: DataError = {
  code: 'cancelled',
  source: 'season.json',
  text: 'Stopped before the end; nothing was written.',
};

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
