const LOOK_EVERY_MS = 10;

/** Waits until something is true, looking often, and fails with the words given when it does not become so. */
export async function eventually(what: string, isSo: () => boolean, msMax = 10_000): Promise<void> {
  const endMs = performance.now() + msMax;
  while (!isSo()) {
    if (performance.now() > endMs) throw new Error(`not within ${msMax} ms: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
  }
}
