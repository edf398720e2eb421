/**
 * Server-sent events read from a fetch, since an `EventSource` does not reach schemes other than http
 * [HTML Living Standard, 9.2 Server-sent events].
 */

export interface ServerEvent {
  /** `message` when the event has no name. */
  readonly name: string;
  readonly text: string;
}

/** The events of a reply, in order, until it ends. */
export async function* eventsOf(response: Response): AsyncGenerator<ServerEvent> {
  if (response.body === null) return;
  const reader = response.body
    .pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array<ArrayBuffer>>)
    .getReader();
  let rest = '';
  try {
    for (;;) {
      const { done, value: piece } = await reader.read();
      if (done) return;
      const blocks = `${rest}${piece}`.replaceAll('\r\n', '\n').split('\n\n');
      rest = blocks.pop() ?? '';
      for (const block of blocks) {
        const event = eventFrom(block);
        if (event !== undefined) yield event;
      }
    }
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

/** One block of lines; undefined for a comment, which keeps the line open. */
export function eventFrom(block: string): ServerEvent | undefined {
  let name = 'message';
  const texts: string[] = [];
  for (const line of block.split('\n')) {
    const [, key, held] = /^([a-z]+):? ?(.*)$/.exec(line) ?? [];
    if (key === 'event') name = held;
    if (key === 'data') texts.push(held);
  }
  return texts.length === 0 ? undefined : { name, text: texts.join('\n') };
}
