/** Drawing waits for the screen's next frame, and whatever changed until then is drawn once. */
const waiting = new Set<() => void>();
let frame: number | undefined;

export function onNextFrame(draw: () => void): void {
  waiting.add(draw);
  frame ??= requestAnimationFrame(() => {
    frame = undefined;
    const draws = [...waiting];
    waiting.clear();
    for (const one of draws) one();
  });
}

export function forgetFrame(draw: () => void): void {
  waiting.delete(draw);
}
