/** What is being written, how far it is, and the way to stop it. */
import type { JobReply } from '../../../core/host-contract.ts';

export interface JobRunningProps {
  /** What it is at, as the host says it. */
  readonly stage: string;
  /** `null` until the host has answered. */
  readonly job: JobReply | null;
  readonly onStop: () => void;
}

export function JobRunning({ stage, job, onStop }: JobRunningProps) {
  return (
    <div className="row working" role="status">
      <span>{stage}…</span>
      <progress value={job?.fraction ?? 0} max={1} aria-label={stage} />
      <button type="button" className="framed" disabled={job === null} onClick={onStop}>
        Stop
      </button>
    </div>
  );
}
