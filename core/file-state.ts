/** What the host says of the files of a season. */

export interface FilesReply {
  readonly files: readonly FileState[];
}

/** Whether a file is what it was when it was copied in. */
export interface FileState {
  readonly path: string;
  readonly listed_as: 'log' | 'tickets' | 'boundary' | 'treatments' | null;
  /** `unrecorded`: put there by hand, so that there is nothing to compare it with. */
  readonly state: 'same' | 'changed' | 'missing' | 'unrecorded';
  /** What the answer rests on. */
  readonly checked_by: 'presence' | 'size' | 'size_and_time' | 'sha256';
  /** What and how to mend it; `null` when nothing is wrong. */
  readonly text: string | null;
}
