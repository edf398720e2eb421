/** The mass ribbon under the stage line: the kilograms of the field on the map, to scale. */
import { MassRibbon } from '../charts/mass-ribbon.tsx';
import { errorOfField } from '../session/season-figures.ts';
import { chooseThread } from '../session/threads.ts';
import { useStepContext } from '../steps/panel.tsx';

export function Ribbon() {
  const context = useStepContext();
  if (context === null) return <div />;
  const { field, summary, units, bushel_kg, session, state } = context;
  const error_kg = errorOfField(field);
  const isCalibrated = summary.calibrations.some(
    ({ crop, loads }) => crop === field.crop && loads.some(({ used }) => used),
  );
  return (
    <div className="ribbon">
      <MassRibbon
        ledger={summary.mass_ledger.filter((row) => row.field === field.name)}
        total_kg={isCalibrated ? field.mass_std_kg : null}
        total_plus_minus_kg={error_kg === null ? null : 1.96 * error_kg}
        units={units}
        bushel_kg={bushel_kg}
        selected={state.view.thread}
        onSelect={(thread) => chooseThread(session, thread)}
      />
    </div>
  );
}
