/** What an import leaves for a person to answer: each has an answer for the time being, or says what waits for it. */

import type { MachineSheet } from '../season.ts';
import { shownText } from '../shown-text.ts';
import type { CropChoice } from './crop-choice.ts';
import type { HeaderWidthGuess } from './header-width.ts';
import type { ImportCandidate, OpenQuestion } from './import-plan.ts';
import type { LogOutline } from './log-outline.ts';

/** Everything is measured with a rule at the machine; nothing can be built from beam edges before. */
export function paddleQuestion({ id, name }: MachineSheet): OpenQuestion {
  const text = `${shownText(name)} (${shownText(id)}) has no paddle measures, and its beam cannot be turned into grain without. Measure one paddle and the chain with a rule, engine off and key out: pitch_mm (paddle to paddle), width_mm, depth_mm, thickness_mm; write them into season.json as "paddle" of this machine.`;
  return { code: 'paddle', about: id, assumed: null, weight: 'needed', text };
}

export function headerQuestion({ id, name }: MachineSheet, guess: HeaderWidthGuess): OpenQuestion {
  const text = `How wide does the header of ${shownText(name)} cut? Taken: ${guess.reason}.`;
  return { code: 'header_width', about: id, assumed: `${guess.width_m} m`, weight: 'confirm', text };
}

export function antennaQuestion({ id, name }: MachineSheet): OpenQuestion {
  const text = `Where is the antenna of ${shownText(name)}? Taken: above the middle of the cutting line. Measure how far ahead of it and how far to the right.`;
  return { code: 'antenna', about: id, assumed: '0 m ahead, 0 m right', weight: 'confirm', text };
}

export function cropQuestion(field: string, { crop, reason }: CropChoice): OpenQuestion {
  const text = `What grew in ${shownText(field)}? Taken: ${crop}, as ${reason}.`;
  return { code: 'crop', about: field, assumed: crop, weight: 'confirm', text };
}

export function fieldNameQuestion(field: string, reason: string): OpenQuestion {
  const text = `What is ${shownText(field)} called? It was found by its tracks; ${reason}.`;
  return { code: 'field_name', about: field, assumed: field, weight: 'confirm', text };
}

export function machineQuestion(logs: readonly LogOutline[], machine: string): OpenQuestion {
  const names = logs.map(({ id }) => shownText(id)).join(', ');
  const text = `Which machine recorded ${names}? Taken: ${shownText(machine)}; nothing in the files tells.`;
  return { code: 'machine', about: logs[0].id, assumed: machine, weight: 'confirm', text };
}

/** Of a table: what its columns leave open, or that they could not be told. */
export function tableQuestions(candidate: ImportCandidate, waits: string | undefined): OpenQuestion[] {
  const { id, inspection } = candidate;
  if (waits !== undefined)
    return [{ code: 'mapping', about: id, assumed: null, weight: 'needed', text: waits }];
  if (inspection.content.kind !== 'table' || inspection.content.chosen_by !== 'guess') return [];
  const doubts = inspection.content.guess?.doubts ?? [];
  return doubts.map((doubt) => ({
    code: 'mapping' as const,
    about: id,
    assumed: doubt,
    weight: 'confirm' as const,
    text: `${shownText(inspection.name)}: ${doubt}`,
  }));
}
