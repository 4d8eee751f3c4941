/** Waits for work to end one way or the other, but no longer than `msMax`. Never rejects: for closing things. */
export async function settledWithin(work: Promise<unknown>, msMax: number): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const limit = new Promise<void>((resolve) => {
    timer = setTimeout(resolve, msMax);
  });
  const ended = work.then(
    () => undefined,
    () => undefined,
  );
  await Promise.race([ended, limit]);
  clearTimeout(timer);
}
