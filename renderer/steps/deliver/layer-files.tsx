/** Files of layers for others: what, of which fields, in which formats; it begins with what was chosen last. */
import { useRef } from 'react';
import { FORMAT_NAMES, FORMATS, type FormatName } from '../../../core/export/formats/format-list.ts';
import { LAYER_KINDS } from '../../../core/export/layers/layer-choice.ts';
import { StateMark } from '../../app/figure.tsx';
import {
  firstChoice,
  layerExportsOf,
  type RememberedChoice,
  useLayerExports,
} from '../../session/layer-exports.ts';
import { decimal } from '../../text/quantities.ts';
import { capitalised, counted } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';
import { Choices } from './choices.tsx';
import {
  choiceRefusal,
  formatRefusal,
  LAYER_WORDS,
  leftOutWords,
  OPENS_IN,
  toggled,
  usableChoice,
} from './export-words.ts';
import { FieldChoice } from './field-choice.tsx';
import { JobRunning } from './job-running.tsx';
import { WrittenLayers } from './written-layers.tsx';

export function LayerFiles(context: StepContext) {
  const { summary, session, state, units } = context;
  const exporting = useLayerExports(state.season?.season);
  const exports = layerExportsOf(session);
  const { fields, isWriting, job, trouble, isStopped, written } = exporting;
  const choice = exporting.choice ?? firstChoice(units);
  const { layers, points, files } = choice;
  const set = (change: Partial<RememberedChoice>) => exports.choose({ ...choice, ...change });
  const names = summary.fields.map(({ name }) => name);
  const chosen = summary.fields.filter(({ name }) => fields === null || fields.includes(name));
  const kept = chosen.reduce((sum, one) => sum + one.points.kept, 0);
  const total = chosen.reduce((sum, one) => sum + one.points.total, 0);
  const refusal =
    state.preview === null ? choiceRefusal(choice, fields) : 'Keep or leave what you are trying first.';
  const hasPoints = layers.includes('points') || layers.includes('swaths');
  const list = useRef<HTMLDivElement>(null);
  const stage = job?.stage ? capitalised(job.stage) : 'Waiting';
  return (
    <>
      <section>
        <fieldset className="choice-list">
          <legend>What</legend>
          {LAYER_KINDS.map((kind) => (
            <label key={kind} className="switch">
              <input
                type="checkbox"
                checked={layers.includes(kind)}
                onChange={({ target }) => set({ layers: toggled(layers, kind, target.checked) })}
              />
              <span>
                {LAYER_WORDS[kind].title}: <span className="quiet">{LAYER_WORDS[kind].holds}</span>
              </span>
            </label>
          ))}
        </fieldset>
      </section>
      <section>
        <FieldChoice
          names={names}
          chosen={fields}
          onChoose={(some) => exports.chooseFields(some)}
          shown={context.field.name}
        />
      </section>
      <section>
        <fieldset className="choice-list formats">
          <legend>Formats</legend>
          {FORMAT_NAMES.map((format) => (
            <FormatChoice key={format} format={format} choice={choice} onChange={set} />
          ))}
        </fieldset>
      </section>
      <section className="choices-apart">
        <Choices
          legend="Points in them"
          held={points}
          onChoose={(which) => set({ points: which })}
          of={[
            ['kept', `Those on the map (${decimal(kept, 0)})`],
            ['all', `All, each with the rule that caught it (${decimal(total, 0)})`],
          ]}
          aside={hasPoints ? undefined : 'Cells and zones are made of the points on the map.'}
        />
        <Choices
          legend="Units"
          held={choice.units}
          onChoose={(system) => set({ units: system })}
          of={[
            ['us', 'US: in the names of the columns, such as yield_bu_ac'],
            ['metric', 'Metric: such as yield_t_ha'],
          ]}
        />
        <Choices
          legend="Fields among the files"
          held={files}
          onChoose={(parting) => set({ files: parting })}
          of={[
            ['together', 'All fields of a layer in one file'],
            ['each', 'Files for each field'],
          ]}
          aside={chosen.length === 1 ? 'There is one field.' : undefined}
        />
      </section>
      <div className="foot-actions">
        {isWriting ? (
          <JobRunning stage={stage} job={job} onStop={() => void exports.stop()} />
        ) : (
          <div className="row">
            <button
              type="button"
              className="main"
              disabled={refusal !== undefined}
              onClick={() =>
                void exports.write({ ...usableChoice(choice), ...(fields === null ? {} : { fields }) })
              }
            >
              {writeWords(choice, chosen.length)}
            </button>
            {refusal !== undefined && <span className="quiet">{refusal}</span>}
            {refusal === undefined && written !== null && (
              <button type="button" className="plain" onClick={() => list.current?.scrollIntoView()}>
                {counted(written.files.length, 'file')} written
              </button>
            )}
          </div>
        )}
        {trouble !== null && (
          <p role="alert">
            <StateMark state="mend" /> {trouble}
          </p>
        )}
        {isStopped && <p role="status">Stopped; nothing was written.</p>}
      </div>
      {written !== null && (
        <div ref={list}>
          <WrittenLayers written={written} session={session} state={state} />
        </div>
      )}
    </>
  );
}

/** `Write 2 layers of 3 fields in 2 formats` */
function writeWords(choice: RememberedChoice, fields: number): string {
  const { layers, formats } = usableChoice(choice);
  const what = layers.length === 1 ? layers[0] : counted(layers.length, 'layer');
  const how =
    formats.length === 1 ? `as ${FORMATS[formats[0]].title}` : `in ${counted(formats.length, 'format')}`;
  return layers.length === 0 || formats.length === 0
    ? 'Write files'
    : `Write ${what} of ${counted(fields, 'field')} ${how}`;
}

interface FormatChoiceProps {
  readonly format: FormatName;
  readonly choice: RememberedChoice;
  readonly onChange: (change: Partial<RememberedChoice>) => void;
}

function FormatChoice({ format, choice: { formats, layers }, onChange }: FormatChoiceProps) {
  const refusal = formatRefusal(format, layers);
  const without = leftOutWords(format, layers);
  return (
    <label className="switch">
      <input
        type="checkbox"
        disabled={refusal !== undefined}
        checked={formats.includes(format) && refusal === undefined}
        onChange={({ target }) => onChange({ formats: toggled(formats, format, target.checked) })}
      />
      <span>
        {FORMATS[format].title}{' '}
        <span className="hint-line">{refusal ?? [OPENS_IN[format], without].filter(Boolean).join(' ')}</span>
      </span>
    </label>
  );
}
