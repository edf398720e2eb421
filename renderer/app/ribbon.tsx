/** The mass ribbon under the stage line. */
import { useSessionState } from '../session/use-session.ts';

export function Ribbon() {
  const { built } = useSessionState();
  return <div className="ribbon" hidden={built === null} />;
}
