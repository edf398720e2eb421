/** A machine as a device of task data: itself, its header, which reports everything, and the place that positions are of. */
import { xmlAttributes } from '../xml-text.ts';
import { designator } from './designator.ts';
import { ddiText, LOGGED_QUANTITIES } from './logged-quantities.ts';

export interface MachineDevice {
  readonly id: string;
  /** ISO 11783-5 NAME, sixteen hexadecimal digits. */
  readonly client_name: string;
  /** Id of the element that time logs refer to. */
  readonly header_element: string;
  /** The `DVC`. */
  readonly xml: string;
}

/** Elements of each device, numbered on through all devices of the file. */
const ELEMENTS_A_DEVICE = 3;
/** Object ids are a device's own: elements 1 to 3, then these. */
const FIRST_PROCESS_DATA = 100;
const FIRST_PROPERTY = 200;
const FIRST_PRESENTATION = 300;

/** Offsets of an element from the device's reference point, along, across, up: mm [ISO 11783-11]. */
const OFFSETS = [
  { ddi: 134, name: 'Offset X' },
  { ddi: 135, name: 'Offset Y' },
  { ddi: 136, name: 'Offset Z' },
] as const;

/**
 * The `place`-th machine, from 0. Positions in the time logs are those of the header's middle, so that header and place of
 * positions both lie at the device's reference point, all offsets zero.
 */
export function machineDevice(name: string, place: number, software: string): MachineDevice {
  const [device, header, navigation] = [1, 2, 3].map((k) => `DET${ELEMENTS_A_DEVICE * place + k}`);
  const id = `DVC${place + 1}`;
  const client_name = clientName(place);
  const processData = LOGGED_QUANTITIES.map((_, k) => FIRST_PROCESS_DATA + k);
  const offsets = OFFSETS.map((_, k) => FIRST_PROPERTY + k);
  const lines = [
    `<DVC${xmlAttributes({
      A: id,
      B: designator(name),
      C: designator(software),
      D: client_name,
      F: STRUCTURE_LABEL,
      G: LOCALIZATION_LABEL,
    })}>`,
    element({ A: device, B: 1, C: 1, D: designator(name), E: 0, F: 0 }, []),
    element({ A: header, B: 2, C: 2, D: 'Header', E: 1, F: 1 }, [...processData, ...offsets]),
    element({ A: navigation, B: 3, C: 7, D: 'Position', E: 2, F: 1 }, offsets),
    ...LOGGED_QUANTITIES.map(
      ({ ddi, name, triggers, presentation }, k) =>
        `<DPD${xmlAttributes({
          A: FIRST_PROCESS_DATA + k,
          B: ddiText(ddi),
          C: BELONGS_TO_DEFAULT_SET,
          D: triggers,
          E: name,
          F: presentation && FIRST_PRESENTATION + k,
        })}/>`,
    ),
    ...OFFSETS.map(
      ({ ddi, name }, k) =>
        `<DPT${xmlAttributes({ A: FIRST_PROPERTY + k, B: ddiText(ddi), C: 0, D: name })}/>`,
    ),
    ...LOGGED_QUANTITIES.flatMap(({ presentation }, k) =>
      presentation === undefined
        ? []
        : `<DVP${xmlAttributes({
            A: FIRST_PRESENTATION + k,
            B: 0,
            C: presentation.scale,
            D: presentation.digits,
            E: presentation.unit,
          })}/>`,
    ),
    '</DVC>',
  ];
  return { id, client_name, header_element: header, xml: lines.join('\n') };
}

const BELONGS_TO_DEFAULT_SET = 1;

/** Any will do, as long as it changes when the device's structure does. */
const STRUCTURE_LABEL = '53484C31';
/** English, units metric: `en` with the rest reserved. */
const LOCALIZATION_LABEL = 'FF000000006E65';

function element(attributes: Readonly<Record<string, string | number>>, objects: readonly number[]): string {
  const references = objects.map((object) => `<DOR A="${object}"/>`).join('');
  return `<DET${xmlAttributes(attributes)}>${references}</DET>`;
}

/**
 * NAME of a control function [ISO 11783-5]: address of its own choice, industry group 2 (agriculture), device class 7
 * (harvesters), function 255 (not told), manufacturer 2047 (none), and the machine's number. Fields of the NAME from memory.
 */
function clientName(place: number): string {
  const high = 'A00EFF00';
  const low = (0x7ff * 2 ** 21 + place + 1).toString(16).toUpperCase();
  return high + low;
}
