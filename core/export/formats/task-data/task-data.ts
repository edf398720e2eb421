/**
 * ISO 11783-10 task data, version 4: a folder `TASKDATA` with fields, machines and a finished task for each machine in each field,
 * whose time log has the points as a terminal would have recorded them.
 */
import { isoFromUnix } from '../../../iso-time.ts';
import type { ExportLayer } from '../../layers/layer.ts';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from '../format.ts';
import { setGroups } from '../set-groups.ts';
import { xmlAttributes, xmlComment } from '../xml-text.ts';
import { designator } from './designator.ts';
import { boundaryArea_m2, boundaryElements } from './field-boundary.ts';
import { type MachineDevice, machineDevice } from './machine-device.ts';
import { type MachineLog, machineLogs } from './machine-logs.ts';
import { timeLogBytes, timeLogHeader } from './time-log.ts';

/** A folder of task data for all sets of points, or one for each field. */
export const TASK_DATA: ExportFormat = { kinds: ['points'], files };

const FOLDER = 'TASKDATA';
/** Names of time logs have five digits. */
const MOST_LOGS = 99_999;

/** A field with the tasks that were done in it. */
interface TaskField {
  readonly layer: ExportLayer;
  readonly id: string;
  readonly crop_id: string;
  readonly logs: readonly NumberedLog[];
}

interface NumberedLog {
  readonly log: MachineLog;
  readonly device: MachineDevice;
  /** `TLG00001`. */
  readonly name: string;
  readonly task_id: string;
}

/** Programs look for a folder of that name: where files are asked for each field, each has its own in a folder of the field. */
function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  const groups = setGroups(sets);
  return groups.flatMap(({ stem, sets: group }) =>
    taskDataFiles(group, provenance).map(({ name, pieces }) => ({
      name: groups.length > 1 ? `${stem}/${name}` : name,
      pieces,
    })),
  );
}

function taskDataFiles(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  const layers = sets.flatMap((set) => set.layers);
  const crops = new Map([...new Set(layers.map(({ crop }) => crop))].map((crop, k) => [crop, `CTP${k + 1}`]));
  const devices = new Map<string, MachineDevice>();
  let tasks = 0;
  const fields = layers.map((layer, k): TaskField => {
    const logs = machineLogs(layer).map((log): NumberedLog => {
      const device =
        devices.get(log.machine) ?? machineDevice(log.machine, devices.size, provenance.generated_by);
      devices.set(log.machine, device);
      tasks++;
      return { log, device, name: `TLG${String(tasks).padStart(5, '0')}`, task_id: `TSK${tasks}` };
    });
    return { layer, id: `PFD${k + 1}`, crop_id: crops.get(layer.crop) ?? '', logs };
  });
  if (tasks > MOST_LOGS)
    throw new RangeError(`${tasks} time logs are more than the ${MOST_LOGS} that have names`);
  const main = taskDataText({ fields, crops, devices: [...devices.values()] }, provenance);
  return [
    { name: `${FOLDER}/TASKDATA.XML`, pieces: [main] },
    ...fields.flatMap(({ logs }) => logs.flatMap(timeLogFiles)),
  ];
}

function timeLogFiles({ log, device, name }: NumberedLog): ExportFile[] {
  function* bytes(): Generator<Uint8Array> {
    yield timeLogBytes(log);
  }
  return [
    { name: `${FOLDER}/${name}.XML`, pieces: [timeLogHeader(log.quantities, device.header_element)] },
    { name: `${FOLDER}/${name}.BIN`, pieces: { [Symbol.iterator]: bytes } },
  ];
}

interface TaskContents {
  readonly fields: readonly TaskField[];
  /** Ids by name. */
  readonly crops: ReadonlyMap<string, string>;
  readonly devices: readonly MachineDevice[];
}

/** The season stands for customer and farm, of which it knows no more. */
function taskDataText({ fields, crops, devices }: TaskContents, provenance: Provenance): string {
  const season = designator(provenance.season);
  const { name, version } = programOf(provenance);
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    ...originComments(provenance),
    // DataTransferOrigin 1: from a farm management program, which this is, not from a terminal
    `<ISO11783_TaskData${xmlAttributes({
      VersionMajor: 4,
      VersionMinor: 2,
      ManagementSoftwareManufacturer: name,
      ManagementSoftwareVersion: version,
      TaskControllerManufacturer: name,
      TaskControllerVersion: version,
      DataTransferOrigin: 1,
    })}>`,
    `<CTR${xmlAttributes({ A: 'CTR1', B: season })}/>`,
    `<FRM${xmlAttributes({ A: 'FRM1', B: season, I: 'CTR1' })}/>`,
    ...[...crops].map(([crop, id]) => `<CTP${xmlAttributes({ A: id, B: designator(crop) })}/>`),
    ...fields.map(fieldElement),
    ...devices.map(({ xml }) => xml),
    ...fields.flatMap((field) => field.logs.map((log) => taskElement(field, log))),
    '</ISO11783_TaskData>',
    '',
  ];
  return lines.join('\n');
}

/** `Sheaflight 0.1.0` in two. */
function programOf({ generated_by }: Provenance): { name: string; version: string } {
  const [, name, version] = /^(.*) (\S+)$/.exec(generated_by) ?? ['', generated_by, ''];
  return { name: designator(name), version: designator(version) };
}

function originComments({ generated_by, season, remarks, inputs, settings }: Provenance): string[] {
  return [
    `Made by ${generated_by} from the season "${season}".`,
    ...remarks,
    ...inputs.map(({ path, sha256 }) => `From ${path}, sha256 ${sha256}`),
    `Settings: ${settings}`,
  ].map(xmlComment);
}

/** Area 0 says that none is known. */
function fieldElement({ layer, id, crop_id }: TaskField): string {
  const rings = layer.boundary ?? [];
  const attributes = xmlAttributes({
    A: id,
    C: designator(layer.field),
    D: boundaryArea_m2(rings),
    E: 'CTR1',
    F: 'FRM1',
    G: crop_id,
  });
  return [`<PFD${attributes}>`, ...boundaryElements(rings), '</PFD>'].join('\n');
}

/** Status 4: completed; time of type 4: effective. Times are UTC. */
function taskElement({ layer, id }: TaskField, { log, device, name, task_id }: NumberedLog): string {
  const first_s = log.utc_ms[0] / 1000;
  const last_s = log.utc_ms[log.utc_ms.length - 1] / 1000;
  const time = xmlAttributes({
    A: isoFromUnix(first_s) ?? '',
    B: isoFromUnix(last_s) ?? '',
    C: Math.round(last_s - first_s),
    D: 4,
  });
  return [
    `<TSK${xmlAttributes({ A: task_id, B: designator(layer.field), C: 'CTR1', D: 'FRM1', E: id, G: 4 })}>`,
    `<TIM${time}/>`,
    `<DAN${xmlAttributes({ A: device.client_name, C: device.id })}/>`,
    `<TLG${xmlAttributes({ A: name, C: 1 })}/>`,
    '</TSK>',
  ].join('\n');
}
