/** Leaving out by hand what is selected on the map or the time line, and what has been left out so. */
import { Figure } from '../../app/figure.tsx';
import {
  type ExclusionOffer,
  exclusionWords,
  offerOfSelection,
  offerOfSpan,
} from '../../session/exclusions.ts';
import { decimal, grainMass } from '../../text/quantities.ts';
import type { StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

export function LeftOutByHand(context: StepContext) {
  const { season, session, state, points, reply } = context;
  const exclusions = season.settings?.exclusions ?? [];
  const frame = { machines: reply.machines, epoch_utc_s: reply.epoch_utc_s };
  // what is tried has other points than what is kept
  const isFree = state.preview === null;
  const offers =
    points === undefined || !isFree
      ? []
      : [
          offerOfSelection(points, state.view.selection, frame, season),
          offerOfSpan(points, state.view.span, frame),
        ].filter((offer) => offer !== null);
  return (
    <section>
      <h3>Left out by hand</h3>
      {offers.map((offer) => (
        <Offer key={offer.words} offer={offer} {...context} />
      ))}
      {offers.length === 0 && isFree && (
        <p className="quiet">
          Select on the map with the lasso or a pass, or choose a time on the time line, to leave it out.
        </p>
      )}
      <PreviewNote isOf={(edit) => edit.kind === 'exclude'} />
      {exclusions.length > 0 && (
        <ul className="left-out">
          {exclusions.map((exclusion, index) => (
            <li key={JSON.stringify(exclusion)}>
              <span>{exclusionWords(exclusion, season)}</span>{' '}
              <button
                type="button"
                className="framed"
                onClick={() => void session.edit({ kind: 'readmit', index })}
              >
                Take in again
              </button>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Offer({ offer, session, units, bushel_kg }: StepContext & { readonly offer: ExclusionOffer }) {
  const { exclusions, words, points, mass_kg } = offer;
  const leaveOut = async () => {
    for (const exclusion of exclusions) await session.edit({ kind: 'exclude', exclusion });
    session.look({ selection: null, span: null, thread: null });
  };
  return (
    <div className="row">
      <p>
        Selected: {words}; {decimal(points, 0)} {points === 1 ? 'point' : 'points'} of the map with{' '}
        <Figure of={grainMass(mass_kg, bushel_kg, units)} />.
        {exclusions.length === 0 &&
          ' These lie in too many pieces to be told by time: draw one line around them instead.'}
      </p>
      <button
        type="button"
        className="framed"
        disabled={exclusions.length === 0}
        onClick={() => void leaveOut()}
      >
        Leave out
      </button>
      {exclusions.length === 1 && (
        <button
          type="button"
          className="framed"
          onClick={() => void session.try({ kind: 'exclude', exclusion: exclusions[0] })}
        >
          Try it first
        </button>
      )}
    </div>
  );
}
