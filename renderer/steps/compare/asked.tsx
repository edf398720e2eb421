/** What stands where an answer of the host is on its way, or did not come. */
import { StateMark } from '../../app/figure.tsx';
import type { ComparisonsState } from '../../session/comparisons.ts';

export function Asked({ trouble, isAsking, reply }: ComparisonsState) {
  if (trouble !== null)
    return (
      <p role="alert">
        <StateMark state="mend" /> {trouble}
      </p>
    );
  if (isAsking || reply === null)
    return (
      <p className="quiet" role="status">
        {reply === null ? 'Reckoning…' : 'Reckoning anew; what is shown is from before the change.'}
      </p>
    );
  return null;
}
