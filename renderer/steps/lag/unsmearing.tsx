/** The choice to unsmear: what it does, what it costs in noise, and when to leave it off. */
import type { SeasonEdit } from '../../../core/edits/season-edit.ts';
import type { LagSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { machineName } from '../../session/season-figures.ts';
import { decimal } from '../../text/quantities.ts';
import { NumberEntry, type StepContext, Switch } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

/** As the chain does where the sheet does not say. */
const USUAL_ROUNDS = 3;
/** From here on neighbouring points say more of noise than of ground; common practice, no source. */
const MUCH_NOISE = 1.5;

type UnsmearChange = Extract<SeasonEdit, { kind: 'set_unsmear' }>['change'];

export function Unsmearing({ lags, ...context }: StepContext & { readonly lags: readonly LagSummary[] }) {
  const { season, session, state } = context;
  const held = season.settings?.unsmear;
  const tried = isOfUnsmearing(state.tried) ? state.tried.change : undefined;
  const isOn = tried?.on === undefined ? held?.on === true : tried.on === true;
  const attempt = (change: UnsmearChange) => {
    const isKept = 'on' in change && (change.on === true) === (held?.on === true);
    if (isKept) session.leavePreview();
    else void session.try({ kind: 'set_unsmear', change });
  };
  // Rounds that are tried together with the switch belong to one change.
  const rounds = (iterations: number | null): UnsmearChange =>
    held?.on === true ? { iterations } : { on: true, iterations };
  const hasMixing = lags.some(({ mixing_s }) => mixing_s !== null && mixing_s > 0);
  return (
    <section>
      <h3>
        Unsmearing <span className="quiet">for all fields</span>
      </h3>
      <Switch
        label="Put grain that threshing mixed back to where it was cut (default: off)"
        isOn={isOn}
        onChange={(on) => attempt({ on: on ? true : null })}
      />
      {isOn && (
        <div className="measure">
          <NumberEntry
            label="Rounds: more sharpen more, and add noise"
            unit=""
            step={1}
            entered={held?.iterations}
            fallback={USUAL_ROUNDS}
            onEnter={(iterations) => void session.edit({ kind: 'set_unsmear', change: rounds(iterations) })}
            onDraft={(iterations) =>
              iterations === null ? session.leavePreview() : attempt(rounds(iterations))
            }
          />
        </div>
      )}
      <Worth lags={lags} {...context} />
      <Noise lags={lags} {...context} />
      <PreviewNote isOf={isOfUnsmearing} />
      <p className="estimate">
        It sharpens edges on the map and keeps every total. It cannot make a measurement better than it is:
        what it sharpens is noise as well. Leave it off for zones and comparisons of whole fields; try it
        where strips or trials are narrower than the machine mixes
        {hasMixing ? '.' : '. No mixing was found here, so that nothing would change.'}
      </p>
    </section>
  );
}

/** What the data say of its worth, before it is tried. */
function Worth({ lags, season }: Pick<StepContext, 'season'> & { readonly lags: readonly LagSummary[] }) {
  const told = lags.filter(({ unsmear_helps }) => typeof unsmear_helps === 'boolean');
  if (told.length === 0) return null;
  return (
    <ul className="findings">
      {told.map(({ machine, unsmear_helps }) => (
        <li key={machine}>
          <StateMark state={unsmear_helps ? 'good' : 'look'} />
          <span>
            {machineName(season, machine)}:{' '}
            {unsmear_helps
              ? 'mixing outweighs the scatter of single points here; fine blocks of the map gain a fifth or more'
              : 'mixing is little against the scatter of single points here; unsmearing would help little or not at all'}
          </span>
        </li>
      ))}
    </ul>
  );
}

function Noise({ lags, season }: Pick<StepContext, 'season'> & { readonly lags: readonly LagSummary[] }) {
  const told = lags.filter(({ unsmear_noise_gain }) => unsmear_noise_gain !== null);
  if (told.length === 0) return null;
  return (
    <ul className="findings">
      {told.map(({ machine, unsmear_noise_gain }) => (
        <li key={machine}>
          <StateMark state={(unsmear_noise_gain ?? 1) > MUCH_NOISE ? 'look' : 'good'} />
          <span>
            {machineName(season, machine)}: noise between neighbouring points ×{' '}
            {decimal(unsmear_noise_gain, 2)}
            {(unsmear_noise_gain ?? 1) > MUCH_NOISE ? '; fewer rounds, or none, would say more' : ''}
          </span>
        </li>
      ))}
    </ul>
  );
}

function isOfUnsmearing(edit: SeasonEdit | null): edit is Extract<SeasonEdit, { kind: 'set_unsmear' }> {
  return edit?.kind === 'set_unsmear';
}
