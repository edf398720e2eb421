/** Why the last thing asked for was not done, in one sentence, where it cannot be overlooked. */
import { useSession, useSessionState } from '../session/use-session.ts';
import { StateMark } from './figure.tsx';

export function Trouble() {
  const session = useSession();
  const { trouble } = useSessionState();
  if (trouble === null) return null;
  return (
    <div className="trouble" role="alert">
      <StateMark state="mend" />
      <p>{trouble.text}</p>
      <button type="button" onClick={() => session.dismissTrouble()}>
        Understood
      </button>
    </div>
  );
}
