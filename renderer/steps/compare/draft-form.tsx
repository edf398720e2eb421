/** Names of the strips that are being drawn: what was done in each, and which belong together. */
import { useId } from 'react';
import { TreatmentMark, treatmentsIn } from '../../charts/treatment-mark.tsx';
import { comparisonsOf } from '../../session/comparisons.ts';
import { draftRefusal, type StripDraft } from '../../session/strip-draft.ts';
import type { StepContext } from '../panel.tsx';

export function DraftForm({ session, season, draft }: StepContext & { readonly draft: StripDraft }) {
  const comparisons = comparisonsOf(session);
  const id = useId();
  const { name, labels, chosen, isChange, past } = draft;
  const treatments = treatmentsIn(labels);
  const refusal = draftRefusal(
    draft,
    (season.comparisons ?? []).map((one) => one.name),
  );
  return (
    <>
      <section>
        <div className="form-grid">
          <label htmlFor={`${id}-name`}>Comparison</label>
          <input
            id={`${id}-name`}
            type="text"
            value={name}
            disabled={isChange}
            onChange={({ target }) => comparisons.step({ kind: 'name', name: target.value })}
          />
        </div>
      </section>
      <section>
        <h3>Strips</h3>
        {labels.length === 0 ? (
          <p className="quiet">
            None yet: click the corners of the first one on the map. Those that follow can be set beside it.
          </p>
        ) : (
          <table className="strip-names">
            <caption className="unseen">Strips that are drawn</caption>
            <thead>
              <tr>
                <th scope="col">
                  <span className="unseen">Strip</span>
                </th>
                <th scope="col" className="words">
                  Treatment
                </th>
                <th scope="col" className="words">
                  Replicate
                </th>
                <th scope="col">
                  <span className="unseen">Delete</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {labels.map((label, k) => (
                <tr
                  // The place among the strips is what a strip is.
                  // biome-ignore lint/suspicious/noArrayIndexKey: strips have no name of their own
                  key={k}
                  aria-selected={k === chosen}
                  onFocus={() => k !== chosen && comparisons.step({ kind: 'choose', strip: k })}
                >
                  <th scope="row">
                    <TreatmentMark of={treatments.indexOf(label.treatment)} /> {k + 1}
                  </th>
                  <td className="words">
                    <input
                      type="text"
                      aria-label={`Treatment of strip ${k + 1}`}
                      list={`${id}-treatments`}
                      value={label.treatment}
                      onChange={({ target }) =>
                        comparisons.step({ kind: 'label', strip: k, change: { treatment: target.value } })
                      }
                    />
                  </td>
                  <td className="words">
                    <input
                      type="text"
                      className="short"
                      aria-label={`Replicate of strip ${k + 1}`}
                      value={label.replicate}
                      onChange={({ target }) =>
                        comparisons.step({ kind: 'label', strip: k, change: { replicate: target.value } })
                      }
                    />
                  </td>
                  <td>
                    <button
                      type="button"
                      className="plain"
                      aria-label={`Delete strip ${k + 1}`}
                      onClick={() =>
                        comparisons.step({ kind: 'shape', step: { kind: 'remove_ring', ring: k } })
                      }
                    >
                      Delete
                    </button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <datalist id={`${id}-treatments`}>
          {treatments.map((one) => (
            <option key={one} value={one} />
          ))}
        </datalist>
        <p className="hint-line">
          A replicate is the pair or block that a strip belongs to, in your own words; left empty for all,
          strips are paired as they lie side by side.
        </p>
      </section>
      <div className="tried at-foot">
        <p>{refusal ?? 'Nothing is kept yet.'}</p>
        <div className="row">
          <button
            type="button"
            className="main"
            disabled={refusal !== undefined}
            onClick={() => void comparisons.keepDraft()}
          >
            Keep and compare
          </button>
          <button type="button" className="framed" onClick={() => comparisons.leaveDraft()}>
            {isChange ? 'Leave as it was' : 'Leave'}
          </button>
          <button
            type="button"
            className="plain"
            disabled={past.length === 0}
            onClick={() => comparisons.step({ kind: 'undo' })}
          >
            Step back
          </button>
        </div>
      </div>
    </>
  );
}
