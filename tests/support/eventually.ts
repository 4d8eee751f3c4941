const LOOK_EVERY_MS = 10;

/** Waits until something is true, looking often, and fails with the words given when it does not become so. */
export async function eventually(what: string, isSo: () => boolean, msMax = 10_000): Promise<void> {
  const endMs = performance.now() + msMax;
  while (!isSo()) {
    if (performance.now() > endMs) throw new Error(`not within ${msMax} ms: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
  }
}

/** Tries until it succeeds, and fails with what went wrong last when it does not. */
export async function eventuallyResolves(
  what: string,
  attempt: () => Promise<unknown>,
  msMax = 30_000,
): Promise<void> {
  const endMs = performance.now() + msMax;
  for (;;) {
    try {
      await attempt();
      return;
    } catch (cause) {
      if (performance.now() > endMs) throw new Error(`not within ${msMax} ms: ${what}`, { cause });
      await new Promise((resolve) => setTimeout(resolve, 20 * LOOK_EVERY_MS));
    }
  }
}
