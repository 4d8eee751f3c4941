/** `npm run restore -- --from <folder> [--data data]`: puts a backup in place of the history. Stop the server first. */
import { join } from 'node:path';
import { restoreHistory } from '../history/upkeep/backup-history.ts';
import { runCommand, say } from './run-command.ts';

await runCommand({ data: 'data', from: undefined as string | undefined }, ({ data, from }) => {
  const kept = restoreHistory(join(from, 'history'), join(data, 'history'), Date.now());
  say(
    `History restored from ${from}. ${kept === null ? 'There was none before.' : `The one before is kept as ${kept}.`}`,
  );
  return 0;
});
