/** `sheaflight beam-check`: a short log in, findings and a commissioning record out. */
import { dirname, join } from 'node:path';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { checkSheet } from '../../core/export/sheets/check-sheet.ts';
import type { Paper } from '../../core/export/sheets/sheet-page.ts';
import { type BeamCheck, checkBeam } from '../../core/install/beam-check.ts';
import { causeWords } from '../../core/install/causes.ts';
import type { CheckSheet } from '../../core/install/check-context.ts';
import type { Verdict } from '../../core/install/finding.ts';
import { type LengthUnits, lengthFromText } from '../../core/install/inch-fraction.ts';
import type { MachineSheet } from '../../core/season.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { readFirstLogFile } from '../host/first-log-file.ts';
import { generatedBy } from '../host/program-version.ts';
import { openSeasonFolder } from '../host/season-folder.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import type { Streams } from './streams.ts';

export interface BeamCheckChoices {
  readonly season?: string;
  readonly machine?: string;
  readonly paddles?: number;
  readonly pitch?: string;
  readonly thickness?: string;
  readonly beamHeight?: string;
  readonly counted?: number;
  readonly chainSpeed?: number;
  readonly units?: LengthUnits;
  readonly paper?: Paper;
  readonly out?: string;
  readonly json?: boolean;
}

export const CHECK_FILE = 'beam-check.html';

export async function beamCheck(log: string, choices: BeamCheckChoices, streams: Streams): Promise<ExitCode> {
  const named = await machineOf(choices);
  if (!named.ok) return refuse(named, streams);
  const { machine, units } = named.value;
  const sheet = checkSheetFrom(machine, { ...choices, units });
  if (!sheet.ok) return refuse(sheet, streams);
  const read = await readFirstLogFile(log);
  if (!read.ok) return refuse(read, streams);
  const check = checkBeam(read.value, sheet.value);
  const record = checkSheet(check, {
    machine: machine?.name ?? 'Elevator sensor',
    paper: choices.paper ?? (units === 'us' ? 'letter' : 'a4'),
    generated_by: generatedBy(),
  });
  const out = choices.out ?? (choices.season === undefined ? dirname(log) : join(choices.season, 'out'));
  const written = await writeFiles(out, [{ name: CHECK_FILE, pieces: [record] }], { layer: streams.layer });
  if (!written.ok) return refuse(written, streams);
  if (choices.json) streams.out(`${JSON.stringify(check, null, 2)}\n`);
  else {
    streams.out(printable(checkText(check)));
    streams.out(`${written.value[0].path}\n`);
  }
  return check.verdict === 'mend' ? EXIT.nothing_usable : EXIT.done;
}

/** The machine that is meant, where one is named, and the units in which its people think. */
export interface NamedMachine {
  readonly machine: MachineSheet | undefined;
  readonly units: LengthUnits;
}

/** Units are those asked for, else the season's, else US ones. */
export async function machineOf(choices: {
  readonly season?: string;
  readonly machine?: string;
  readonly units?: LengthUnits;
}): Promise<Result<NamedMachine>> {
  if (choices.season === undefined) return success({ machine: undefined, units: choices.units ?? 'us' });
  const open = await openSeasonFolder(choices.season);
  if (!open.ok) return open;
  const { machines, units = 'us' } = open.value.season;
  const found =
    choices.machine === undefined && machines.length === 1
      ? machines[0]
      : machines.find(({ id, name }) => id === choices.machine || name === choices.machine);
  if (found !== undefined) return success({ machine: found, units: choices.units ?? units });
  const names = machines.map(({ id }) => id).join(', ');
  return failure(problem(`Say which machine with --machine: the season has ${names || 'none yet'}.`));
}

function checkSheetFrom(
  machine: MachineSheet | undefined,
  choices: BeamCheckChoices & { readonly units: LengthUnits },
): Result<CheckSheet> {
  const { units, pitch, thickness, beamHeight } = choices;
  const lengths = { pitch, thickness, beamHeight };
  for (const [name, text] of Object.entries(lengths)) {
    if (text === undefined || lengthFromText(text, units) > 0) continue;
    return failure(problem(`${text} is no length (${name}); write for example 8in, 203.2mm or 3 1/2in.`));
  }
  const mm = (text: string | undefined) => (text === undefined ? undefined : lengthFromText(text, units));
  const pitch_mm = mm(pitch) ?? machine?.paddle?.pitch_mm;
  const thickness_mm = mm(thickness) ?? machine?.paddle?.thickness_mm;
  if (pitch_mm === undefined || thickness_mm === undefined) {
    return failure(
      problem(
        'The paddles’ measures are missing: give --season with a machine that has "paddle", or --pitch and --thickness.',
      ),
    );
  }
  const count = choices.paddles ?? machine?.paddle?.count;
  const height_mm = mm(beamHeight) ?? machine?.beam?.height_mm;
  return success({
    paddle: {
      pitch_mm,
      thickness_mm,
      width_mm: machine?.paddle?.width_mm ?? Number.NaN,
      depth_mm: machine?.paddle?.depth_mm ?? Number.NaN,
      ...(count === undefined ? {} : { count }),
    },
    beam: height_mm === undefined ? {} : { height_mm },
    ...(choices.counted === undefined ? {} : { counted: choices.counted }),
    ...(choices.chainSpeed === undefined ? {} : { chain_speed_m_s: choices.chainSpeed }),
  });
}

function problem(text: string): DataError {
  return { code: 'wrong_choice', source: 'beam-check', text };
}

/** The marks of `sheaflight check`. */
const MARKS: Readonly<Record<Verdict, string>> = { good: '  ', look: '! ', mend: 'X ' };

function checkText({ summary, findings, not_judged }: BeamCheck): string {
  const lines = findings.map(({ title, verdict, figure, causes, todo }) => {
    const why = causes.slice(0, 2).map((cause) => `     likely: ${causeWords(cause)}\n`);
    return `${MARKS[verdict]}${title}: ${figure}\n${why.join('')}${todo === '' ? '' : `     do: ${todo}\n`}`;
  });
  const open = not_judged.map(({ title, why }) => `?  ${title}: ${why}\n`);
  return `${summary}\n${lines.join('')}${open.join('')}`;
}
