/** Strips side by side: what was compared in the field, what came of it, and a new comparison. */
import { comparisonsOf, useAskedComparisons } from '../../session/comparisons.ts';
import { capitalised, counted } from '../../text/words.ts';
import { Panel, type StepContext } from '../panel.tsx';
import { Asked } from './asked.tsx';
import { ComparisonResult } from './comparison-result.tsx';
import { DraftForm } from './draft-form.tsx';
import { NewComparison } from './new-comparison.tsx';
import { TimesForm } from './times-form.tsx';
import { TreatmentFile } from './treatment-file.tsx';

export function StripsPage(context: StepContext) {
  const { field, season, session } = context;
  const compared = useAskedComparisons();
  const comparisons = comparisonsOf(session);
  const { reply, draft, sent, times } = compared;
  const sheets = (season.comparisons ?? []).filter((sheet) => sheet.field === field.name);
  const sheet = sheets.find(({ name }) => name === compared.shown) ?? sheets[0];
  const made = reply?.comparisons.find(({ name }) => name === sheet?.name);
  const refused = reply?.refused.find(({ name }) => name === sheet?.name);
  const isDrawing = draft?.field === field.name;
  if (times?.field === field.name)
    return (
      <Panel
        title={`Compare in ${field.name}`}
        finding="What was cut when: for varieties that were sown side by side and cut one after the other, where no map says what stood where."
      >
        <Asked {...compared} />
        <TimesForm {...context} times={times} />
      </Panel>
    );
  if (isDrawing || sent !== null)
    return (
      <Panel
        title={`Compare in ${field.name}`}
        finding={
          isDrawing
            ? 'Strips as they were laid out: each is one experimental unit, along whole passes, and every treatment stands in several.'
            : 'Strips from a file: choose which of its properties says what was done.'
        }
      >
        <Asked {...compared} />
        {isDrawing ? (
          <DraftForm {...context} draft={draft} />
        ) : (
          sent && <TreatmentFile {...context} sent={sent} />
        )}
      </Panel>
    );
  return (
    <Panel
      title={`Compare in ${field.name}`}
      finding={
        (made && capitalised(made.told[0])) ??
        refused?.text ??
        (sheet === undefined
          ? 'Nothing is compared in this field yet. Did the spray, the seed or the rate pay? Say which strips had what, and the map answers.'
          : 'The strips are being compared.')
      }
      meaning={
        <p>
          A strip is one experimental unit, however many points lie in it: neighbouring points are near-copies
          of each other, and a test on points finds differences in even fields half of the time. Strips that
          lie side by side are compared within their pair or block, which takes the ground’s own trends out.
        </p>
      }
    >
      <Asked {...compared} />
      {sheets.length > 1 && (
        <fieldset className="choice-list">
          <legend>Comparisons</legend>
          {sheets.map(({ name, strips }) => (
            <label key={name} className="switch">
              <input
                type="radio"
                name="comparison"
                checked={name === sheet?.name}
                onChange={() => comparisons.show(name)}
              />
              {name}
              {strips !== undefined && <span className="quiet">{counted(strips.length, 'strip')}</span>}
            </label>
          ))}
        </fieldset>
      )}
      {sheet !== undefined && <ComparisonResult {...context} sheet={sheet} made={made} />}
      <NewComparison {...context} isFirst={sheet === undefined} />
    </Panel>
  );
}
