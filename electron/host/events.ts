/** Server-sent events: one line of text after the other, for as long as something happens [HTML, 9.2]. */

/** A blank comment now and then keeps connections open and shows the host that the other side is gone. */
const KEEP_ALIVE_MS = 15_000;

export interface EventSink {
  /** An event of that name, its data as JSON. */
  send(name: string, body: unknown): void;
  end(): void;
}

/** A stream that `start` fills; what `start` returns is called when the other side goes away or the sink has ended. */
export function eventStream(start: (sink: EventSink) => () => void): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder();
  let stop: () => void = () => undefined;
  return new ReadableStream<Uint8Array>({
    start: (controller) => {
      let hasEnded = false;
      let unsubscribe: () => void = () => undefined;
      const keepAlive = setInterval(() => controller.enqueue(encoder.encode(':\n\n')), KEEP_ALIVE_MS);
      keepAlive.unref();
      stop = () => {
        hasEnded = true;
        clearInterval(keepAlive);
        unsubscribe();
      };
      unsubscribe = start({
        send: (name, body) => {
          if (!hasEnded)
            controller.enqueue(encoder.encode(`event: ${name}\ndata: ${JSON.stringify(body)}\n\n`));
        },
        end: () => {
          if (hasEnded) return;
          stop();
          controller.close();
        },
      });
      if (hasEnded) unsubscribe();
    },
    cancel: () => stop(),
  });
}
