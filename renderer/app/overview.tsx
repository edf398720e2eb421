/** All fields of the season as a table, one key away from the map. */
import type { FieldSummary } from '../../core/result.ts';
import { bushelOf, errorOfField, fieldsByCrop, totalOf } from '../session/season-figures.ts';
import { unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { area, decimal, grainMass, withError, yieldOf } from '../text/quantities.ts';
import { LEGAL_LINE } from '../text/words.ts';
import { Figure } from './figure.tsx';

export function Overview() {
  const session = useSession();
  const state = useSessionState();
  const { built, season } = state;
  if (season === null) return null;
  if (built === null) return <div className="overview quiet">The table comes with the first build.</div>;
  const units = unitsOf(state);
  const bushel = (crop: string) => bushelOf(season.document, crop);
  const totalText = (fields: readonly FieldSummary[], crop: string) => {
    const { mass_kg, error_kg } = totalOf(fields);
    const error = grainMass(error_kg === null ? null : 1.96 * error_kg, bushel(crop), units);
    return withError(grainMass(mass_kg, bushel(crop), units), error);
  };
  return (
    <section className="overview" aria-label="All fields">
      <h2>All fields</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">field</th>
            <th scope="col" className="words">
              crop
            </th>
            <th scope="col">ground</th>
            <th scope="col">grain at standard moisture</th>
            <th scope="col">yield</th>
            <th scope="col">moisture</th>
            <th scope="col">points on the map</th>
          </tr>
        </thead>
        <tbody>
          {built.reply.summary.fields.map((field) => (
            <tr key={field.name}>
              <th scope="row">
                <button
                  type="button"
                  className="plain"
                  onClick={() => session.look({ field: field.name, isOverview: false })}
                >
                  {field.name}
                </button>
              </th>
              <td className="words">{field.crop}</td>
              <td>
                <Figure of={area(field.area_ha, units)} />
              </td>
              <td>
                <Figure of={fieldTotal(field, bushel(field.crop), units)} />
              </td>
              <td>
                <Figure of={yieldOf(field.mean_yield_t_ha, bushel(field.crop), units)} />
              </td>
              <td>
                <Figure of={{ number: decimal(field.moisture_pct, 1), unit: '%' }} />
              </td>
              <td>
                <Figure
                  of={{
                    number: `${decimal(field.points.kept, 0)} of ${decimal(field.points.total, 0)}`,
                    unit: '',
                  }}
                />
              </td>
            </tr>
          ))}
          {[...fieldsByCrop(built.reply.summary.fields)].map(([crop, fields]) => (
            <tr key={crop}>
              <th scope="row">
                <b>All {crop}</b>
              </th>
              <td />
              <td>
                <b>
                  <Figure of={area(totalOf(fields).area_ha, units)} />
                </b>
              </td>
              <td>
                <b>
                  <Figure of={totalText(fields, crop)} />
                </b>
              </td>
              <td colSpan={3} />
            </tr>
          ))}
        </tbody>
      </table>
      <p className="estimate">± is the 95 % interval. {LEGAL_LINE}.</p>
    </section>
  );
}

function fieldTotal(field: FieldSummary, bushel_kg: number, units: 'us' | 'metric') {
  const error_kg = errorOfField(field);
  const error = grainMass(error_kg === null ? null : 1.96 * error_kg, bushel_kg, units);
  return withError(grainMass(field.mass_std_kg, bushel_kg, units), error);
}
