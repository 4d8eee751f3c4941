import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** What really flowed, second by second, as the simulator wrote it beside its run. */
export interface TruthTable {
  /** Mean of a column over the seconds with `fromMs < time <= toMs`. */
  mean(column: string, fromMs: number, toMs: number): number;
}

export function truthTable(folder: string): TruthTable {
  const [head = '', ...lines] = readFileSync(join(folder, 'truth.csv'), 'utf8').trim().split('\n');
  const columns = head.split(',');
  const rows = lines.map((line) => line.split(','));
  const times = rows.map(([time = '']) => (Number.isNaN(Number(time)) ? Date.parse(time) : Number(time)));
  return {
    mean(column, fromMs, toMs) {
      const at = columns.indexOf(column);
      if (at === -1) throw new Error(`the truth has no column ${column}, only ${head}`);
      const values = rows.flatMap((row, index) => {
        const timeMs = times[index] ?? NaN;
        return timeMs > fromMs && timeMs <= toMs ? [Number(row[at])] : [];
      });
      if (values.length === 0) throw new Error(`the truth has no row from ${fromMs} to ${toMs}`);
      return values.reduce((sum, value) => sum + value, 0) / values.length;
    },
  };
}
