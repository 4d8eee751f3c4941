import { StoreFault } from '../store-fault.ts';
import { numberIn, type SqliteFile } from './sqlite-file.ts';

/** Raised when the layout changes in a way that an older program would misread. */
const LAYOUT_VERSION = 2;
/** "Svwt" as a number: tells the file from other SQLite files. */
const APPLICATION_ID = 0x53767774;
const SYNCHRONOUS_FULL = 2;

/** `file-layout.md` says what each column means. */
const TABLES = `
  CREATE TABLE IF NOT EXISTS series (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
  CREATE TABLE IF NOT EXISTS definition (
    series INTEGER NOT NULL, valid_from_ms INTEGER NOT NULL, kind TEXT NOT NULL, unit TEXT NOT NULL,
    interpolation TEXT NOT NULL, resolution REAL NOT NULL, held_ms REAL,
    PRIMARY KEY (series, valid_from_ms)
  ) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS horizon (series INTEGER PRIMARY KEY, raw_from_ms INTEGER NOT NULL);
  CREATE TABLE IF NOT EXISTS writer (name TEXT PRIMARY KEY, sequence INTEGER NOT NULL, holes TEXT NOT NULL) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS journal (seq INTEGER PRIMARY KEY, data BLOB NOT NULL);
  CREATE TABLE IF NOT EXISTS chunk (id INTEGER PRIMARY KEY, span INTEGER NOT NULL, n INTEGER NOT NULL, data BLOB NOT NULL);
  CREATE TABLE IF NOT EXISTS rollup_1m (id INTEGER PRIMARY KEY, data BLOB NOT NULL);
  CREATE TABLE IF NOT EXISTS rollup_1h (id INTEGER PRIMARY KEY, data BLOB NOT NULL);
  CREATE TABLE IF NOT EXISTS changed_day (id INTEGER PRIMARY KEY, changed_ms INTEGER NOT NULL);
  CREATE TABLE IF NOT EXISTS quarantine (
    id INTEGER PRIMARY KEY, origin TEXT NOT NULL, origin_id INTEGER NOT NULL, span INTEGER, n INTEGER,
    because TEXT NOT NULL, data BLOB NOT NULL
  );
`;

/** Its rollups do not say what was only uncertain. */
const BEFORE_UNCERTAIN = 1;
const FORGET_ROLLUPS = `
  INSERT OR REPLACE INTO changed_day SELECT DISTINCT (id >> 26) * 65536 + (id & 67108863) / 1440, 0 FROM chunk;
  DELETE FROM rollup_1m;
  DELETE FROM rollup_1h;
`;

/** Sets the file up for one owner, and proves that commits wait for the disk. */
export function prepareFile(file: SqliteFile, path: string): void {
  if (!isOfFirstLayout(file)) expectLayout(file, path);
  file.exec('PRAGMA page_size = 4096');
  // Has an effect only before the first table is made; then freed pages can be given back later.
  file.exec('PRAGMA auto_vacuum = INCREMENTAL');
  file.exec('PRAGMA journal_mode = WAL');
  file.exec('PRAGMA synchronous = FULL');
  // Checkpoints come in quiet moments of our own choice, not inside a commit that somebody waits for.
  file.exec('PRAGMA wal_autocheckpoint = 0');
  file.exec('PRAGMA cache_size = -16384');
  // After a burst the log of commits gives the disk back what is more than two checkpoints of it.
  file.exec('PRAGMA journal_size_limit = 16777216');
  file.transact(() => {
    if (isOfFirstLayout(file)) bringFromFirstLayout(file, path);
    file.exec(TABLES);
    file.exec(`PRAGMA application_id = ${APPLICATION_ID}`);
    file.exec(`PRAGMA user_version = ${LAYOUT_VERSION}`);
  });
  expectSynchronousFull(file, path);
}

/** Chunks are read as they are; rollups are made anew, and where their samples have gone that cannot be. */
function bringFromFirstLayout(file: SqliteFile, path: string): void {
  if (file.first('SELECT 1 FROM horizon LIMIT 1') !== null) {
    const got = 'version 1, of which samples were dropped by age or size';
    const remedy =
      'its rollups cannot be made anew: move the file away, or run the program version that wrote it';
    throw layoutFault(path, got, remedy);
  }
  file.exec(FORGET_ROLLUPS);
}

function isOfFirstLayout(file: SqliteFile): boolean {
  return (
    pragma(file, 'application_id') === APPLICATION_ID && pragma(file, 'user_version') === BEFORE_UNCERTAIN
  );
}

/** A new file, or one of ours that this program can read. */
export function expectLayout(file: SqliteFile, path: string): void {
  const application = pragma(file, 'application_id');
  const version = pragma(file, 'user_version');
  const isNew = application === 0 && version === 0 && file.first('SELECT 1 FROM sqlite_schema') === null;
  if (isNew || (application === APPLICATION_ID && version === LAYOUT_VERSION)) return;
  const remedy = isOfFirstLayout(file)
    ? 'start the server on it once, which brings it to this version'
    : 'move the file away, or run the program version that wrote it';
  throw layoutFault(path, `application ${application}, version ${version}`, remedy);
}

function layoutFault(path: string, got: string, remedy: string): StoreFault {
  const expected = `application ${APPLICATION_ID}, version ${LAYOUT_VERSION}`;
  return new StoreFault('DATA_FOLDER', { subject: `${path} layout`, got, expected, remedy });
}

export function pragma(file: SqliteFile, name: string): number {
  const row = file.first(`PRAGMA ${name}`);
  return row === null ? 0 : numberIn(row, name);
}

function expectSynchronousFull(file: SqliteFile, path: string): void {
  const got = pragma(file, 'synchronous');
  if (got === SYNCHRONOUS_FULL) return;
  throw new StoreFault('DATA_FOLDER', {
    subject: `${path} synchronous`,
    got,
    expected: `${SYNCHRONOUS_FULL} (FULL)`,
    remedy: 'readings would not survive a power cut, so the history is not opened',
  });
}
