import { Type, type Static } from 'typebox';
import { Compile } from 'typebox/compile';
import { CommandSchema, type Command } from '../contract/commands.ts';
import { ActorSchema } from '../contract/records.ts';
import type { Authorship, JournalledCommand, TimeRange } from '../ports/record-store.ts';
import type { Database, Row } from './database.ts';
import { detailsIn, expectFit, WRITTEN_COLUMNS, writtenIn, writtenValues } from './stored-entry.ts';

const StoredCommandSchema = Type.Object({
  id: Type.Integer(),
  writtenBy: ActorSchema,
  writtenMs: Type.Number(),
  command: CommandSchema,
  refused: Type.Union([Type.String(), Type.Null()]),
});
const storedCheck = Compile(StoredCommandSchema);

const INSERT = `INSERT INTO command (kind, details, refused, ${WRITTEN_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?)`;

export interface CommandJournal {
  write(command: Command, by: Authorship, refused: string | null): void;
  within(range: TimeRange): readonly JournalledCommand[];
}

/** Every command with who gave it and when, whether it was done or refused. */
export function commandJournal(database: Database): CommandJournal {
  return {
    write(command, by, refused) {
      const entry = { id: 0, writtenBy: by.actor, writtenMs: by.timeMs, command, refused };
      expectFit(storedCheck, entry, `command ${command.kind}`);
      database.run(INSERT, [command.kind, JSON.stringify(command), refused, ...writtenValues(by)]);
    },
    within: ({ fromMs, toMs }) =>
      database
        .rows('SELECT * FROM command WHERE written_ms >= ? AND written_ms < ? ORDER BY written_ms, id', [
          fromMs,
          toMs,
        ])
        .map(storedOf)
        .map(journalled),
  };
}

function storedOf(row: Row): Static<typeof StoredCommandSchema> {
  return expectFit(
    storedCheck,
    { ...writtenIn(row), command: detailsIn(row), refused: row['refused'] },
    `command ${String(row['id'])}`,
  );
}

function journalled(stored: Static<typeof StoredCommandSchema>): JournalledCommand {
  const { id, writtenBy, writtenMs, command, refused } = stored;
  return { id, by: { actor: writtenBy, timeMs: writtenMs }, command, refused };
}
