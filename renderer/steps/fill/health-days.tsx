/** The sensor through the season: a row a machine and day, and what of it matters for yield. */
import type { HealthDay } from '../../../core/result.ts';
import type { Season } from '../../../core/season.ts';
import { StateMark } from '../../app/figure.tsx';
import { machineName } from '../../session/season-figures.ts';
import { decimal } from '../../text/quantities.ts';

interface HealthDaysProps {
  readonly days: readonly HealthDay[];
  readonly season: Season;
}

export function HealthDays({ days, season }: HealthDaysProps) {
  if (days.length === 0) return null;
  const alerts = days.flatMap((day) => day.alerts.map((alert) => ({ ...alert, day })));
  return (
    <section aria-label="Sensor day by day">
      <h3>Day by day</h3>
      {alerts.length === 0 ? (
        <p className="quiet">On no day did the sensor’s health change what yields say by as much as 1 %.</p>
      ) : (
        <ul className="findings">
          {alerts.map(({ code, verdict, text, day }) => (
            <li key={`${day.machine} ${day.day} ${code}`}>
              <StateMark state={verdict} />
              <span>
                {machineName(season, day.machine)}, {day.day}: {text}
              </span>
            </li>
          ))}
        </ul>
      )}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reached by keyboard */}
      <section className="table-wrap" aria-label="Sensor by machine and day" tabIndex={0}>
        <table>
          <thead>
            <tr>
              <th scope="col">Machine, day</th>
              <th scope="col">Empty level, mm</th>
              <th scope="col">Uneven, %</th>
              <th scope="col">Noise, mm</th>
              <th scope="col">Missed of 1000</th>
            </tr>
          </thead>
          <tbody>
            {days.map((day) => (
              <tr key={`${day.machine} ${day.day}`}>
                <th scope="row">
                  <StateMark state={worstOf(day)} /> {machineName(season, day.machine)}
                  <br />
                  <span className="unit">{day.day}</span>
                </th>
                <td>{decimal(day.empty_mm, 1)}</td>
                <td>{decimal(day.jitter_pct, 2)}</td>
                <td>{decimal(day.noise_mm, 1)}</td>
                <td>{decimal(day.missed_per_1000, 1)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  );
}

export function worstOf({ alerts }: HealthDay): 'good' | 'look' | 'mend' {
  if (alerts.some(({ verdict }) => verdict === 'mend')) return 'mend';
  return alerts.length > 0 ? 'look' : 'good';
}
