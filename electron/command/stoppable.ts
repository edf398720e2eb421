/** Ctrl-C while files are being written removes the half-written ones before the end. */
export async function stoppable<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const stop = new AbortController();
  const onInterrupt = () => stop.abort();
  process.once('SIGINT', onInterrupt);
  process.once('SIGTERM', onInterrupt);
  try {
    return await work(stop.signal);
  } finally {
    process.off('SIGINT', onInterrupt);
    process.off('SIGTERM', onInterrupt);
  }
}
