/**
 * `npm run check-history -- [--repair] [--data data]`: proves every part of the history against its checksum. With
 * `--repair` (stop the server first) what is damaged goes to quarantine and nothing else is touched.
 */
import { join } from 'node:path';
import { checkHistory } from '../history/upkeep/check-history.ts';
import { runCommand, say } from './run-command.ts';

await runCommand({ data: 'data', repair: false }, ({ data, repair }) => {
  const result = checkHistory(join(data, 'history'), { repairs: repair });
  for (const { table, id, because } of result.damage) say(`${table} ${id}: ${because}`);
  for (const line of result.pages) say(`pages: ${line}; restore a backup`);
  const { chunks, rollups, journalRows, damage, pages } = result;
  const end = damage.length > 0 && repair ? '; moved to quarantine' : '';
  say(`${chunks} chunks, ${rollups} rollups, ${journalRows} journal rows: ${damage.length} damaged${end}.`);
  return (damage.length > 0 && !repair) || pages.length > 0 ? 1 : 0;
});
