/** Size of an element on the page, kept up to date. */
import { type RefObject, useEffect, useState } from 'react';

/** Whole CSS pixels; 0 × 0 before the element is on the page. */
export function useSize(place: RefObject<HTMLElement | null>): { width: number; height: number } {
  const [size, setSize] = useState({ width: 0, height: 0 });
  useEffect(() => {
    if (!place.current) return;
    const watcher = new ResizeObserver(([entry]) => {
      const { width, height } = entry.contentRect;
      setSize({ width: Math.floor(width), height: Math.floor(height) });
    });
    watcher.observe(place.current);
    return () => watcher.disconnect();
  }, [place]);
  return size;
}
