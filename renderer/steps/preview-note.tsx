/** Beside the control of a change that is tried: what it would do to the totals, and the choice to keep or leave it. */
import type { SeasonEdit } from '../../core/edits/season-edit.ts';
import { differenceWords } from '../session/difference.ts';
import { unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';

interface PreviewNoteProps {
  /** Whether a tried change belongs to this place. */
  readonly isOf: (edit: SeasonEdit) => boolean;
}

export function PreviewNote({ isOf }: PreviewNoteProps) {
  const session = useSession();
  const state = useSessionState();
  const { tried, preview, built, season } = state;
  if (tried === null || season === null || built === null || !isOf(tried)) return null;
  const isOnItsWay = preview === null || preview.edit !== tried;
  return (
    <div className="tried" role="status">
      <p>
        {preview === null ? (
          'Working out what it would do…'
        ) : (
          <>
            <b>Not kept yet.</b>{' '}
            {differenceWords(
              preview.kept.reply.summary,
              built.reply.summary,
              season.document,
              unitsOf(state),
            )}
            {isOnItsWay ? ' …' : ''}
          </>
        )}
      </p>
      <div className="row">
        <button
          type="button"
          className="main"
          disabled={isOnItsWay}
          onClick={() => void session.keepPreview()}
        >
          Keep
        </button>
        <button type="button" className="framed" onClick={() => session.leavePreview()}>
          Leave as it was
        </button>
      </div>
    </div>
  );
}
