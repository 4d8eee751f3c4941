import { useLayoutEffect, useRef, useState, type RefObject } from 'react';

export interface Box {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The inner size of an element, kept while it changes. */
export function useBox<Element extends HTMLElement>(): readonly [RefObject<Element | null>, Box] {
  const element = useRef<Element>(null);
  const [box, setBox] = useState<Box>({ widthPx: 0, heightPx: 0 });
  useLayoutEffect(() => {
    const observed = element.current;
    if (observed === null) return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry === undefined) return;
      const { width, height } = entry.contentRect;
      setBox({ widthPx: Math.floor(width), heightPx: Math.floor(height) });
    });
    observer.observe(observed);
    return () => observer.disconnect();
  }, []);
  return [element, box];
}
