/** Where the timeline is. */
import { useSessionState } from '../session/use-session.ts';

export function TimelinePlace() {
  const { built } = useSessionState();
  return <div className="timeline-place" hidden={built === null} />;
}
