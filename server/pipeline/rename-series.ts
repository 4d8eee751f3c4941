import type { ConfiguredRename } from '../config/plant-config.ts';
import { Fault } from '../contract/faults.ts';
import type { SampleStore } from '../ports/sample-store.ts';

/**
 * Gives series the names that the configuration has for them now; their past comes along. All or, where one cannot be
 * done, none. Must come before the definitions are registered, which would make new series of the new names.
 *
 * @throws Fault CONFIG_REFERENCE where there is a past under both names
 */
export async function renameSeries(store: SampleStore, renamed: readonly ConfiguredRename[]): Promise<void> {
  const names = new Set((await store.catalogue()).map(({ name }) => name));
  const steps = renamed.flatMap((entry) => [...names].flatMap((name) => stepOf(name, entry)));
  for (const { from, to } of steps) if (names.has(to)) throw both(from, to);
  for (const { from, to } of steps) await store.rename(from, to);
}

function stepOf(name: string, { from, to }: ConfiguredRename): readonly ConfiguredRename[] {
  if (!from.endsWith('.')) return name === from ? [{ from, to }] : [];
  return name.startsWith(from) ? [{ from: name, to: to + name.slice(from.length) }] : [];
}

function both(from: string, to: string): Fault {
  return new Fault('CONFIG_REFERENCE', {
    subject: `renamed ${from}`,
    got: `a history of ${to}, too`,
    expected: 'no history under the new name yet',
    remedy: 'remove the entry, and each keeps its own; server not started',
  });
}
