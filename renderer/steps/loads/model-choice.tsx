/** Which curve the loads are fitted with. */
import type { StepContext } from '../panel.tsx';

const MODELS = [
  ['auto', 'Chosen by the loads: least error left out, simpler when as good (default)'],
  ['gain', 'One gain'],
  ['gain_zero', 'Gain and zero error'],
  ['gain_curvature', 'Gain that bends with flow'],
] as const;

export function ModelChoice({ season, session }: StepContext) {
  const held = season.settings?.calibration?.model ?? 'auto';
  return (
    <section>
      <fieldset className="choice-list">
        <legend>Curve through the loads</legend>
        {MODELS.map(([model, words]) => (
          <label key={model} className="switch">
            <input
              type="radio"
              name="model"
              checked={held === model}
              onChange={() =>
                void session.edit({ kind: 'set_model', model: model === 'auto' ? null : model })
              }
            />
            {words}
          </label>
        ))}
      </fieldset>
    </section>
  );
}
