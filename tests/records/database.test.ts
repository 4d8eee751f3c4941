import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import { openDatabase } from '#server/records/database.ts';
import { recordsFolder } from './records-folder.ts';

const newFile = recordsFolder();

describe('openDatabase', () => {
  it('commits to the disk itself, not only to the system’s memory', () => {
    const database = openDatabase(newFile());
    // 2 is FULL, per the SQLite documentation of PRAGMA synchronous.
    expect(database.rows('PRAGMA synchronous')).toEqual([{ synchronous: 2 }]);
    database.close();
  });

  it('says that the disk is full, undoes the write and goes on answering', () => {
    const file = newFile();
    const database = openDatabase(file);
    database.script('CREATE TABLE entry (text TEXT); PRAGMA max_page_count = 10');
    const fill = () => {
      for (let row = 0; row < 100; row++) database.run('INSERT INTO entry VALUES (?)', ['x'.repeat(4000)]);
    };
    expect(() => database.together(fill)).toThrow(
      `RECORDS_UNWRITABLE ${file}: got a full disk, expected a records file that can be written; lots, marks and ` +
        'acknowledgements are not kept until the file and its disk are put right',
    );
    expect(database.rows('SELECT count(*) AS n FROM entry')).toEqual([{ n: 0 }]);
    database.run('INSERT INTO entry VALUES (?)', ['fits']);
    database.close();
  });

  it('says that another program holds the file, and writes again once it has let go', () => {
    const file = newFile();
    const database = openDatabase(file);
    database.script('CREATE TABLE entry (text TEXT)');
    const other = new DatabaseSync(file);
    other.exec('BEGIN IMMEDIATE');
    const write = () => database.together(() => database.run('INSERT INTO entry VALUES (?)', ['x']));
    expect(write).toThrow(`RECORDS_UNWRITABLE ${file}: got a file that another program keeps locked`);
    other.exec('ROLLBACK');
    other.close();
    expect(write()).toBe(1);
    database.close();
  });

  it('leaves a mistake in a statement an error of the program, not a fault of the disk', () => {
    const database = openDatabase(newFile());
    expect(() => database.rows('SELECT * FROM no_such_table')).toThrow('no such table: no_such_table');
    database.close();
  });
});
