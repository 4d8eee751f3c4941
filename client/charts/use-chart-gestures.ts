import { useEffect, type RefObject } from 'react';

/** What a person does to a chart with wheel, fingers or a dragged mouse. Shares are of the chart's width. */
export interface ChartGestures {
  readonly onZoom: (factor: number, atShare: number) => void;
  /** Positive shows later times. */
  readonly onMove: (byShare: number) => void;
}

const ZOOM_PER_WHEEL_PX = 0.0016;
const LINE_PX = 16;

/** Wheel zooms, wheel sideways or with shift moves, shift and drag or one finger moves, two fingers zoom. */
export function useChartGestures(element: RefObject<HTMLElement | null>, gestures: ChartGestures): void {
  useEffect(() => {
    const root = element.current;
    if (root === null) return;
    const stopWheel = listenToWheel(root, gestures);
    const stopPointers = listenToPointers(root, gestures);
    return () => {
      stopWheel();
      stopPointers();
    };
  }, [element, gestures]);
}

function plotBelow(event: Event): DOMRect | null {
  const target = event.target instanceof Element ? event.target.closest('.u-over') : null;
  return target === null ? null : target.getBoundingClientRect();
}

function listenToWheel(root: HTMLElement, gestures: ChartGestures): () => void {
  const turned = gatheredZoom(gestures);
  const onWheel = (event: WheelEvent) => {
    const box = plotBelow(event);
    if (box === null || box.width === 0) return;
    event.preventDefault();
    const scale = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 1;
    const sideways = event.shiftKey && event.deltaX === 0 ? event.deltaY : event.deltaX;
    if (Math.abs(sideways) > Math.abs(event.deltaY) || event.shiftKey) {
      gestures.onMove((sideways * scale) / box.width);
      return;
    }
    const atShare = (event.clientX - box.left) / box.width;
    turned(Math.exp(event.deltaY * scale * ZOOM_PER_WHEEL_PX), Math.min(1, Math.max(0, atShare)));
  };
  root.addEventListener('wheel', onWheel, { passive: false });
  return () => root.removeEventListener('wheel', onWheel);
}

/** A wheel turns faster than a screen draws: what comes within one frame is one zoom. */
function gatheredZoom({ onZoom }: ChartGestures): ChartGestures['onZoom'] {
  let gathered = 1;
  let frame: number | undefined;
  return (factor, atShare) => {
    gathered *= factor;
    frame ??= requestAnimationFrame(() => {
      frame = undefined;
      const all = gathered;
      gathered = 1;
      onZoom(all, atShare);
    });
  };
}

function listenToPointers(root: HTMLElement, gestures: ChartGestures): () => void {
  const down = new Map<number, number>();
  let box: DOMRect | null = null;

  const onDown = (event: PointerEvent) => {
    const isMouse = event.pointerType === 'mouse';
    box = plotBelow(event);
    if (box === null || (isMouse && !event.shiftKey)) return;
    down.set(event.pointerId, event.clientX);
  };
  const onMove = (event: PointerEvent) => {
    const before = down.get(event.pointerId);
    if (before === undefined || box === null) return;
    const others = [...down].filter(([id]) => id !== event.pointerId).map(([, x]) => x);
    const [other] = others;
    down.set(event.pointerId, event.clientX);
    if (other === undefined) {
      gestures.onMove((before - event.clientX) / box.width);
      return;
    }
    const apart = Math.abs(event.clientX - other);
    if (apart > 0)
      gestures.onZoom(Math.abs(before - other) / apart, ((event.clientX + other) / 2 - box.left) / box.width);
  };
  const onUp = (event: PointerEvent) => void down.delete(event.pointerId);

  root.addEventListener('pointerdown', onDown);
  window.addEventListener('pointermove', onMove);
  window.addEventListener('pointerup', onUp);
  window.addEventListener('pointercancel', onUp);
  return () => {
    root.removeEventListener('pointerdown', onDown);
    window.removeEventListener('pointermove', onMove);
    window.removeEventListener('pointerup', onUp);
    window.removeEventListener('pointercancel', onUp);
  };
}
