/** All fields of the season as a table, one key away from the map. */
import type { FieldSummary } from '../../core/result.ts';
import { kgM2FromTHa } from '../../core/units.ts';
import { SmallMap, SmallMapLegend, type SmallScale } from '../map/small-map.tsx';
import { bushelOf, fieldsByCrop, intervalOf, totalOf } from '../session/season-figures.ts';
import { type SessionState, unitsOf } from '../session/session-state.ts';
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
            <th scope="col">
              <span className="unseen">map</span>
            </th>
            <th scope="col" className="words">
              field
            </th>
            <th scope="col" className="words">
              crop
            </th>
            <th scope="col">ground</th>
            <th scope="col">grain at standard moisture, 95 %</th>
            <th scope="col">yield</th>
            <th scope="col">moisture</th>
            <th scope="col">points on the map</th>
          </tr>
        </thead>
        <tbody>
          {built.reply.summary.fields.map((field) => (
            <tr key={field.name}>
              <td className="words">
                <SmallMap
                  field={field.name}
                  columns={columnsOf(state, field.name)}
                  scale={scaleOf(built.reply.summary.fields, field.crop)}
                  theme={state.view.theme}
                />
              </td>
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
                <Figure of={grainMass(field.mass_std_kg, bushel(field.crop), units)} />
                <br />
                <span className="quiet">{intervalOf(field, bushel(field.crop), units).number}</span>
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
              <td />
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
      <p className="quiet">
        Maps: <SmallMapLegend theme={state.view.theme} />
      </p>
      <p className="estimate">Ranges and ± are 95 % intervals. {LEGAL_LINE}.</p>
    </section>
  );
}

function columnsOf({ built }: SessionState, field: string) {
  return built?.points.get(built.reply.points.findIndex((one) => one.field === field));
}

/** From half to one and a half times the mean yield of all ground of the crop. */
function scaleOf(fields: readonly FieldSummary[], crop: string): SmallScale {
  const own = fields.filter((field) => field.crop === crop && field.mean_yield_t_ha !== null);
  const ground_ha = own.reduce((sum, { area_ha }) => sum + area_ha, 0);
  const grain_t = own.reduce(
    (sum, { area_ha, mean_yield_t_ha }) => sum + area_ha * (mean_yield_t_ha ?? 0),
    0,
  );
  const mean_kg_m2 = kgM2FromTHa(ground_ha > 0 ? grain_t / ground_ha : 1);
  return { low_kg_m2: 0.5 * mean_kg_m2, high_kg_m2: 1.5 * mean_kg_m2 };
}
