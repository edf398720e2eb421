/** A file of treatments that was sent: which property says what was done, and which strips belong together. */
import { useId, useState } from 'react';
import { comparisonsOf, type SentTreatments } from '../../session/comparisons.ts';
import { counted } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';

export function TreatmentFile({
  session,
  season,
  field,
  sent,
}: StepContext & { readonly sent: SentTreatments }) {
  const comparisons = comparisonsOf(session);
  const id = useId();
  const { choices, upload } = sent;
  const stem = upload.source_name.replace(/\.(geo)?json$/i, '');
  const [name, setName] = useState(stem);
  const [treatment, setTreatment] = useState(choices.guess?.treatment ?? choices.properties[0]?.name ?? '');
  const [replicate, setReplicate] = useState(choices.guess?.replicate ?? '');
  const property = choices.properties.find((one) => one.name === treatment);
  const isTaken = (season.comparisons ?? []).some((one) => one.name === name.trim());
  const refusal =
    name.trim() === ''
      ? 'Name the comparison.'
      : treatment === ''
        ? 'The polygons of this file have no properties; nothing says what was done where.'
        : undefined;
  return (
    <>
      <section>
        <p>
          {upload.source_name}: {counted(choices.polygons, 'polygon')}.
        </p>
        <div className="form-grid spaced">
          <label htmlFor={`${id}-name`}>Comparison</label>
          <input
            id={`${id}-name`}
            type="text"
            value={name}
            onChange={({ target }) => setName(target.value)}
          />
          <label htmlFor={`${id}-treatment`}>Treatment</label>
          <select
            id={`${id}-treatment`}
            value={treatment}
            onChange={({ target }) => setTreatment(target.value)}
          >
            {choices.properties.map((one) => (
              <option key={one.name} value={one.name}>
                {one.name} ({one.different} different)
              </option>
            ))}
          </select>
          <label htmlFor={`${id}-replicate`}>Replicate</label>
          <select
            id={`${id}-replicate`}
            value={replicate}
            onChange={({ target }) => setReplicate(target.value)}
          >
            <option value="">none: as strips lie side by side</option>
            {choices.properties.map((one) => (
              <option key={one.name} value={one.name}>
                {one.name} ({one.different} different)
              </option>
            ))}
          </select>
        </div>
        {property !== undefined && (
          <p className="hint-line">
            {property.name} holds {property.samples.join(', ')}
            {property.different > property.samples.length ? ' …' : ''}
            {property.missing > 0 ? `; ${counted(property.missing, 'polygon')} without it` : ''}.
            {choices.guess !== null && treatment === choices.guess.treatment
              ? ` ${choices.guess.reason}`
              : ''}
          </p>
        )}
      </section>
      <div className="tried at-foot">
        <p>
          {refusal ??
            (isTaken ? `It takes the place of the comparison ${name.trim()}.` : 'Nothing is kept yet.')}
        </p>
        <div className="row">
          <button
            type="button"
            className="main"
            disabled={refusal !== undefined}
            onClick={() =>
              void comparisons.addFile({
                name: name.trim(),
                field: field.name,
                file: { treatment, ...(replicate === '' ? {} : { replicate }) },
              })
            }
          >
            Keep and compare
          </button>
          <button type="button" className="framed" onClick={() => comparisons.leaveFile()}>
            Leave
          </button>
        </div>
      </div>
    </>
  );
}
