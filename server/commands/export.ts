/**
 * `npm run export -- --series <name,name> --from <time> --to <time> [--format csv] [--out <file>] [--data data]`:
 * writes readings and figures to a file or, without `--out`, to the standard output; also while the server records.
 * A name that ends in `*` stands for all that begin so.
 */
import { join } from 'node:path';
import { EXPORT_FORMATS } from '../contract/export-format.ts';
import { historyExport } from '../history/export/history-export.ts';
import { openSampleStore } from '../history/open-sample-store.ts';
import { instant, invalid, runCommand, say } from './run-command.ts';
import { toFile, toStandardOutput } from './written-whole.ts';

const OPTIONS = {
  data: 'data',
  series: undefined as string | undefined,
  from: undefined as string | undefined,
  to: undefined as string | undefined,
  format: 'csv',
  out: '-',
};

await runCommand(OPTIONS, async (options) => {
  const format = EXPORT_FORMATS.find((known) => known === options.format);
  if (format === undefined) throw invalid('--format', options.format, EXPORT_FORMATS.join(' or '));
  const names = options.series.split(',').map((name) => name.trim());
  const [fromMs, toMs] = [instant('from', options.from), instant('to', options.to)];
  if (fromMs >= toMs) throw invalid('--to', options.to, `a time after ${options.from}`);
  const store = await openSampleStore({ folder: join(options.data, 'history'), isReadOnly: true });
  try {
    const request = { format, names, fromMs, toMs };
    const { body } = await historyExport(store, request, new AbortController().signal);
    if (options.out === '-') await toStandardOutput(body);
    else say(`${options.out}: ${await toFile(body, options.out)} bytes.`);
  } finally {
    await store.close();
  }
  return 0;
});
