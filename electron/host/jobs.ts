/**
 * Long work that someone waits for: how far it is, how it ended, stopping it. Of the builds of a season, of its previews, and of
 * the surfaces that are looked at, the latest request wins; imports follow one another, and so do exports.
 */
import { randomUUID } from 'node:crypto';
import { type DataError, failure, type Result } from '../../core/errors.ts';
import type { LayerExportReply } from '../../core/export/layers/layer-choice.ts';
import type { ReportReply } from '../../core/export/report-choice.ts';
import type { ImportReport, JobReply } from '../../core/host-contract.ts';
import { cancelled } from './job-messages.ts';

/** What a job works with. */
export interface JobContext {
  /** Its own name, for what it makes. */
  readonly job: string;
  readonly progress: (stage: string, fraction: number) => void;
  readonly signal: AbortSignal;
  /** What an export has written, told before it ends. */
  readonly exported: (reply: LayerExportReply) => void;
  /** What reports were written, told before it ends. */
  readonly reported: (reply: ReportReply) => void;
}

/** The work itself; an import ends with a report, the others with nothing to hand on. */
export type JobWork = (context: JobContext) => Promise<Result<ImportReport | undefined>>;

export type JobListener = (job: JobReply) => void;

/** Ended jobs are remembered for those who ask late. A choice of ours. */
const MOST_ENDED = 100;

interface Job {
  reply: JobReply;
  readonly stop: AbortController;
  readonly listeners: Set<JobListener>;
  ended: Promise<void>;
}

export class Jobs {
  readonly #jobs = new Map<string, Job>();
  readonly #onFault: (caught: unknown) => DataError;

  /** `onFault` reports a mistake of ours and words it. */
  constructor(onFault: (caught: unknown) => DataError) {
    this.#onFault = onFault;
  }

  /**
   * Starts work for a season: a build stops the one under way, an import or export waits for the one before it; a preview
   * and a surface do both, so that it finds the thread free that remembers the season.
   */
  start(season: string, kind: JobReply['kind'], work: JobWork): JobReply {
    const earlier = [...this.#jobs.values()].filter(
      ({ reply }) => reply.season === season && reply.kind === kind && !hasEnded(reply),
    );
    if (kind === 'build' || kind === 'preview' || kind === 'surface')
      for (const { stop } of earlier) stop.abort();
    const first = kind === 'build' ? [] : earlier.map(({ ended }) => ended);
    const id = randomUUID();
    const job: Job = {
      reply: {
        job: id,
        season,
        kind,
        state: 'queued',
        stage: '',
        fraction: 0,
        error: null,
        report: null,
      },
      stop: new AbortController(),
      listeners: new Set(),
      ended: Promise.resolve(),
    };
    this.#jobs.set(id, job);
    this.#forgetOld();
    const asked = job.reply;
    job.ended = Promise.all(first).then(() => this.#follow(job, work));
    return asked;
  }

  get(id: string): JobReply | undefined {
    return this.#jobs.get(id)?.reply;
  }

  /** Tells `listener` how the job is now and every change after it; returns how to end that. Nothing for unknown jobs. */
  watch(id: string, listener: JobListener): () => void {
    const job = this.#jobs.get(id);
    if (job === undefined) return () => undefined;
    listener(job.reply);
    job.listeners.add(listener);
    return () => job.listeners.delete(listener);
  }

  /** How the job ends; nothing for unknown jobs. */
  ended(id: string): Promise<JobReply> | undefined {
    const job = this.#jobs.get(id);
    return job?.ended.then(() => job.reply);
  }

  /** Asks the job to stop; it ends as `cancelled` once it has. */
  cancel(id: string): JobReply | undefined {
    const job = this.#jobs.get(id);
    job?.stop.abort();
    return job?.reply;
  }

  /** Stops all work for a season, and waits until it has ended. */
  async cancelSeason(season: string): Promise<void> {
    const ofSeason = [...this.#jobs.values()].filter(({ reply }) => reply.season === season);
    for (const { stop } of ofSeason) stop.abort();
    await Promise.all(ofSeason.map(({ ended }) => ended));
  }

  async #follow(job: Job, work: JobWork): Promise<void> {
    const progress = (stage: string, fraction: number) => {
      if (!hasEnded(job.reply)) this.#tell(job, { state: 'running', stage, fraction });
    };
    let result: Result<ImportReport | undefined>;
    try {
      result = job.stop.signal.aborted
        ? cancelled()
        : await work({
            job: job.reply.job,
            progress,
            signal: job.stop.signal,
            exported: (reply) => this.#tell(job, { exported: reply }),
            reported: (reply) => this.#tell(job, { reported: reply }),
          });
    } catch (caught) {
      result = failure(this.#onFault(caught));
    }
    if (result.ok) this.#tell(job, { state: 'done', fraction: 1, report: result.value ?? null });
    else {
      const { code, text } = result.error;
      const state = code === 'cancelled' ? 'cancelled' : 'failed';
      this.#tell(job, { state, error: { code, text, notices: result.notices } });
    }
  }

  #tell(job: Job, change: Partial<JobReply>): void {
    job.reply = { ...job.reply, ...change };
    for (const listener of job.listeners) listener(job.reply);
    if (hasEnded(job.reply)) job.listeners.clear();
  }

  #forgetOld(): void {
    const ended = [...this.#jobs].filter(([, { reply }]) => hasEnded(reply));
    for (const [id] of ended.slice(0, Math.max(0, ended.length - MOST_ENDED))) this.#jobs.delete(id);
  }
}

export function hasEnded({ state }: JobReply): boolean {
  return state === 'done' || state === 'failed' || state === 'cancelled';
}
