/** `npm run backup -- --to <folder> [--data data]`: copies the history, also while the server is recording. */
import { join } from 'node:path';
import { backupHistory } from '../history/upkeep/backup-history.ts';
import { runCommand, say } from './run-command.ts';

await runCommand({ data: 'data', to: undefined as string | undefined }, ({ data, to }) => {
  const { chunks, rollups, journalRows } = backupHistory(join(data, 'history'), join(to, 'history'));
  say(
    `History copied to ${to} and proved: ${chunks} chunks, ${rollups} rollups, ${journalRows} journal rows.`,
  );
  return 0;
});
