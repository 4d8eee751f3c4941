/**
 * `npm run restore -- --from <folder> [--data data] [--config config/plant.yaml] [--keep-config]`: puts a backup in
 * the place of history, records and configuration. Stop the server first.
 */
import { restoreEverything } from './restore-everything.ts';
import { runCommand, say } from './run-command.ts';

const OPTIONS = {
  data: 'data',
  config: 'config/plant.yaml',
  from: undefined as string | undefined,
  'keep-config': false,
};

await runCommand(OPTIONS, async ({ from, 'keep-config': keepsConfig, ...place }) => {
  const { madeAt, kept } = await restoreEverything(place, { from, keepsConfig, nowMs: Date.now() });
  const what = keepsConfig ? 'History and records' : 'History, records and configuration';
  say(`${what} restored from ${from}, made ${madeAt}.`);
  for (const name of kept) say(`What was there before is kept as ${name}.`);
  return 0;
});
