/** Which curve the loads are fitted with, and what each would cost: how far it misses a load that it has not seen. */
import type { CalibrationSheet } from '../../../core/calibration-sheet.ts';
import type { CalibrationSummary } from '../../../core/result.ts';
import { machineName } from '../../session/season-figures.ts';
import { decimal } from '../../text/quantities.ts';
import { modelWords } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

type Model = NonNullable<CalibrationSheet['model']>;

const MODELS: readonly (readonly [Model, string])[] = [
  ['auto', 'By the loads (default)'],
  ['gain', 'One gain'],
  ['gain_zero', 'Gain and zero error'],
  ['gain_curvature', 'Gain bending with flow'],
  ['gain_moisture', 'Gain by moisture'],
  ['gain_test_weight', 'Gain by test weight'],
];

interface ModelChoiceProps extends StepContext {
  readonly fits: readonly CalibrationSummary[];
}

export function ModelChoice({ fits, season, state, session }: ModelChoiceProps) {
  const { tried } = state;
  const priced = fits.filter(({ diagnostics }) => (diagnostics?.models.length ?? 0) > 0);
  const unlike = priced.filter(({ model, diagnostics }) => model !== diagnostics?.recommended_model);
  const kept = season.settings?.calibration?.model ?? 'auto';
  const held = tried?.kind === 'set_model' ? (tried.model ?? 'auto') : kept;
  const choose = (model: Model) => {
    if (model === kept) session.leavePreview();
    else void session.try({ kind: 'set_model', model: model === 'auto' ? null : model });
  };
  return (
    <section>
      <h3>Curve through the loads</h3>
      <div className="table-wrap">
        <table>
          <thead>
            <tr>
              <th scope="col">error left out, %</th>
              {priced.map((fit) => (
                <th key={`${fit.machine} ${fit.crop} ${fit.group ?? ''}`} scope="col">
                  {fit.crop}, {machineName(season, fit.machine)}
                  {fit.group === undefined ? '' : `, ${fit.group}`}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {MODELS.map(([model, words]) => (
              <tr key={model} aria-selected={model === held}>
                <th scope="row" className="wraps">
                  <label className="switch">
                    <input
                      type="radio"
                      name="model"
                      checked={model === held}
                      onChange={() => choose(model)}
                    />
                    {words}
                  </label>
                </th>
                {priced.map((fit) => (
                  <td key={`${fit.machine} ${fit.crop} ${fit.group ?? ''}`}>{priceOf(fit, model)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <PreviewNote isOf={(edit) => edit.kind === 'set_model'} />
      {unlike.map((fit) => (
        <p key={`${fit.machine} ${fit.crop} ${fit.group ?? ''}`} className="estimate">
          {choiceWords(fit, machineName(season, fit.machine))}
        </p>
      ))}
      {unlike.length === 0 && priced.length > 0 && (
        <p className="estimate">Every fit follows what its loads recommend.</p>
      )}
      <p className="estimate">
        ★ recommended: least error on loads that the fit has not seen, and the plain gain unless another beats
        it by more than one standard error; moisture or test weight only where many loads differ in it.
      </p>
    </section>
  );
}

function priceOf({ diagnostics }: CalibrationSummary, model: Model): string {
  const recommended = diagnostics?.recommended_model;
  if (model === 'auto') return '';
  const price = diagnostics?.models.find((one) => one.model === model)?.loo_rmse_pct;
  return `${model === recommended ? '★ ' : ''}${decimal(price, 2)}`;
}

/** What was chosen and what that costs against the recommended, in plain words. */
export function choiceWords(
  { crop, model, loo_rmse_pct, diagnostics }: CalibrationSummary,
  machine: string,
): string {
  const recommended = diagnostics?.recommended_model ?? null;
  const start = `${crop}, ${machine}: ${modelWords(model)}`;
  if (recommended === null) return `${start}.`;
  const least = diagnostics?.models.find((one) => one.model === recommended)?.loo_rmse_pct ?? null;
  if (loo_rmse_pct === null || least === null)
    return `${start}; the loads recommend ${modelWords(recommended)}.`;
  return `${start} misses an unseen load by ${decimal(loo_rmse_pct, 2)} %; ${modelWords(recommended)}, which the loads recommend, by ${decimal(least, 2)} %.`;
}
