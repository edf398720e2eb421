/** Machines that cut the same crop side by side: by how much they differ there, and one made to agree with the other. */
import type { MachineAgreement } from '../../../core/calibration-result.ts';
import { StateMark } from '../../app/figure.tsx';
import { agreementEdit, isAgreed } from '../../session/calibration-edits.ts';
import { machineName } from '../../session/season-figures.ts';
import { decimal } from '../../text/quantities.ts';
import type { StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

export function Agreements({ summary, season, session }: StepContext) {
  const found = summary.machine_agreements ?? [];
  if (found.length === 0) return null;
  const name = (machine: string) => machineName(season, machine);
  return (
    <section>
      <h3>Machines side by side</h3>
      {found.map((one) => {
        const pair = { machine: one.machine, with: one.with };
        const isApplied = isAgreed(season, pair);
        return (
          <div key={`${one.crop} ${one.machine} ${one.with}`}>
            <p>
              <StateMark state={one.proposed ? 'look' : 'good'} />{' '}
              {agreementWords(one, name(one.machine), name(one.with))}
            </p>
            <p className="row">
              {isApplied ? (
                <>
                  <span className="quiet">
                    {name(one.machine)} is multiplied by {decimal(one.applied_factor, 4)}.
                  </span>
                  <button
                    type="button"
                    className="plain"
                    onClick={() => void session.edit(agreementEdit(season, pair, 'leave'))}
                  >
                    Leave them as they are
                  </button>
                </>
              ) : (
                <button
                  type="button"
                  className={one.proposed ? 'framed' : 'plain'}
                  onClick={() => void session.try(agreementEdit(season, pair, 'apply'))}
                >
                  Make {name(one.machine)} agree with {name(one.with)}
                </button>
              )}
            </p>
          </div>
        );
      })}
      <PreviewNote isOf={(edit) => edit.kind === 'set_calibration' && edit.change.agreements !== undefined} />
    </section>
  );
}

/** The evidence, and what to make of it. */
export function agreementWords(found: MachineAgreement, machine: string, other: string): string {
  const { crop, ratio, ratio_se, pairs, passes, proposed, applied_factor } = found;
  const more_pct = 100 * (ratio - 1);
  const size = `${decimal(Math.abs(more_pct), 1)} % ${more_pct < 0 ? 'less' : 'more'}`;
  const where = `over ${pairs.toLocaleString()} neighbouring points in ${passes} passes`;
  const verdict = proposed
    ? 'Beyond chance, and enough to see on the map.'
    : applied_factor !== 1
      ? 'They agree now.'
      : 'Too little, or too uncertain, to change anything.';
  return `In ${crop}, ${machine} shows ${size} than ${other} (± ${decimal(196 * ratio_se, 1)} %, 95 %) ${where}. ${verdict}`;
}
