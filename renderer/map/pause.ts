/** Lets the window breathe between two pieces of work: input and painting come first, then the promise is kept. */
export function pause(): Promise<void> {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => {
      channel.port1.close();
      resolve();
    };
    channel.port2.postMessage(0);
  });
}

/** Longest stretch of work between two pauses, ms: some of a frame is left for drawing. */
const STRETCH_MS = 12;

/** Goes through all steps, pausing where they have taken long enough; what they come to. */
export async function steadily<T>(steps: Iterator<void, T>): Promise<T> {
  let begun_ms = performance.now();
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
    if (performance.now() - begun_ms < STRETCH_MS) continue;
    await pause();
    begun_ms = performance.now();
  }
}

/** Goes through all steps at once; what they come to. */
export function atOnce<T>(steps: Iterator<void, T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

/** Rows between two steps: some tenths of a millisecond of work. */
export const STEP_ROWS = 4096;
