/** Where the map is: the points of the shown field, or what is still missing. */
import { useSessionState } from '../session/use-session.ts';

export function MapPlace() {
  const { season, built, job } = useSessionState();
  if (season === null) return null;
  if (built !== null) return null;
  const isOn = job?.state === 'queued' || job?.state === 'running';
  if (isOn) return <p className="hint">Making the map from the logs. This takes a moment the first time.</p>;
  return (
    <p className="hint">
      The map appears when there are logs, a machine and a field. Drop files anywhere on this window.
    </p>
  );
}
