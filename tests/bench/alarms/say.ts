import { cpus, totalmem } from 'node:os';

export function say(text = ''): void {
  process.stdout.write(`${text}\n`);
}

export function sayHardware(): void {
  const [cpu] = cpus();
  const memory = Math.round(totalmem() / 2 ** 30);
  say(`${cpu?.model ?? 'unknown'}, ${cpus().length} cores, ${memory} GiB, Node ${process.version}`);
}

/** Columns wide enough for their longest cell; the first one left, the others right. */
export function sayTable(head: readonly string[], rows: readonly (readonly string[])[]): void {
  const widths = head.map((cell, column) =>
    Math.max(cell.length, ...rows.map((row) => row[column]?.length ?? 0)),
  );
  say();
  for (const row of [head, ...rows]) {
    say(
      row
        .map((cell, at) => (at === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[at] ?? 0)))
        .join('  '),
    );
  }
}
