/** Changing some keys of a JSON object and keeping the others. */

/** A JSON object. */
export type JsonObject = { readonly [key: string]: unknown };

/**
 * `target` with `patch` laid over it: `null` takes a key away, objects are laid over objects key by key, anything
 * else (lists too) takes the place of what was there [RFC 7396]. Keys keep their order, new ones come last.
 * Neither argument is changed; what is not touched is shared.
 */
export function mergePatch(target: JsonObject, patch: JsonObject): JsonObject {
  const merged = new Map(Object.entries(target));
  for (const [key, wanted] of Object.entries(patch)) {
    if (wanted === undefined) continue;
    const held = merged.get(key);
    if (wanted === null) merged.delete(key);
    else if (isJsonObject(wanted)) merged.set(key, mergePatch(isJsonObject(held) ? held : {}, wanted));
    else merged.set(key, wanted);
  }
  return Object.fromEntries(merged);
}

/** `target` without the keys of its two upper levels that hold an empty object or list. */
export function withoutEmptyParts(target: JsonObject): JsonObject {
  const kept = Object.entries(target).flatMap(([key, held]) => {
    if (Array.isArray(held)) return held.length === 0 ? [] : [[key, held]];
    if (!isJsonObject(held)) return [[key, held]];
    const inner = Object.entries(held).filter(([, part]) => !isEmpty(part));
    return inner.length === 0 ? [] : [[key, Object.fromEntries(inner)]];
  });
  return Object.fromEntries(kept);
}

export function isJsonObject(held: unknown): held is JsonObject {
  return typeof held === 'object' && held !== null && !Array.isArray(held);
}

function isEmpty(held: unknown): boolean {
  if (Array.isArray(held)) return held.length === 0;
  return isJsonObject(held) && Object.keys(held).length === 0;
}
