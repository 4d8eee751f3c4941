/**
 * `npm run backup -- --to <folder> [--data data] [--config config/plant.yaml]`: copies history, records and
 * configuration, also while the server is recording, and proves the copy.
 */
import { backUpEverything } from './back-up-everything.ts';
import { runCommand, say } from './run-command.ts';

const OPTIONS = { data: 'data', config: 'config/plant.yaml', to: undefined as string | undefined };

await runCommand(OPTIONS, async ({ to, ...place }) => {
  const { list, history } = await backUpEverything(place, to, Date.now());
  const { chunks, rollups, journalRows } = history;
  const megabytes = list.files.reduce((sum, { bytes }) => sum + bytes, 0) / 1e6;
  say(`History, records and configuration copied to ${to} and proved: ${megabytes.toFixed(1)} MB,`);
  say(`${chunks} chunks, ${rollups} rollups, ${journalRows} journal rows.`);
  return 0;
});
