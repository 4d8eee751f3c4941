import type { SeriesDefinition, SeriesId, StoredSeries } from '../../ports/sample-store.ts';
import { StoreFault } from '../store-fault.ts';
import { numberIn, numberOrNullIn, textIn, type Row, type SqliteFile } from './sqlite-file.ts';

/** Which series there are, and how each was defined when; kept in memory, written through. */
export interface Catalogue {
  register(definitions: readonly SeriesDefinition[], fromMs: number): ReadonlyMap<string, SeriesId>;
  rename(from: string, to: string): void;
  all(): readonly StoredSeries[];
  /** Ascending by `validFromMs`; empty for a series that does not exist. */
  definitionsOf(series: SeriesId): readonly StoredSeries[];
}

export function openCatalogue(file: SqliteFile): Catalogue {
  let bySeries = loaded(file);
  let byName = namesOf(bySeries);
  const reload = (): void => {
    bySeries = loaded(file);
    byName = namesOf(bySeries);
  };
  return {
    register(definitions, fromMs) {
      const changed = definitions.filter((definition) => {
        const current = bySeries.get(byName.get(definition.name) ?? -1)?.at(-1);
        return current === undefined || !isSame(current, definition);
      });
      if (changed.length > 0) {
        file.transact(() => {
          for (const definition of changed) write(file, definition, Math.round(fromMs));
        });
        reload();
      }
      return new Map(definitions.map(({ name }) => [name, byName.get(name) ?? -1]));
    },
    rename(from, to) {
      expectRenamable(byName, from, to);
      file.transact(() => file.run('UPDATE series SET name = ? WHERE name = ?', to, from));
      reload();
    },
    all: () => [...bySeries.values()].flat(),
    definitionsOf: (series) => bySeries.get(series) ?? [],
  };
}

function isSame(a: SeriesDefinition, b: SeriesDefinition): boolean {
  return (
    a.kind === b.kind &&
    a.unit === b.unit &&
    a.interpolation === b.interpolation &&
    a.resolution === b.resolution &&
    a.heldMs === b.heldMs
  );
}

/** A clock that was set back cannot put the new definition before the one in force: it starts 1 ms after it. */
function write(file: SqliteFile, definition: SeriesDefinition, fromMs: number): void {
  file.run('INSERT OR IGNORE INTO series (name) VALUES (?)', definition.name);
  const row = file.first(
    'SELECT id, (SELECT max(valid_from_ms) FROM definition WHERE series = id) AS latest FROM series WHERE name = ?',
    definition.name,
  );
  if (row === null) throw new Error(`series ${definition.name} vanished`);
  const latest = numberOrNullIn(row, 'latest');
  file.run(
    'INSERT INTO definition VALUES (?, ?, ?, ?, ?, ?, ?)',
    numberIn(row, 'id'),
    latest === null ? fromMs : Math.max(fromMs, latest + 1),
    definition.kind,
    definition.unit,
    definition.interpolation,
    definition.resolution,
    definition.heldMs,
  );
}

function expectRenamable(byName: ReadonlyMap<string, SeriesId>, from: string, to: string): void {
  if (!byName.has(from)) {
    const expected = 'a name in the catalogue';
    throw new StoreFault('REQUEST_UNKNOWN', {
      subject: 'series',
      got: from,
      expected,
      remedy: 'nothing is renamed',
    });
  }
  if (byName.has(to)) {
    const expected = 'a name that no series has';
    throw new StoreFault('REQUEST_INVALID', {
      subject: 'new name',
      got: to,
      expected,
      remedy: 'nothing is renamed',
    });
  }
}

function loaded(file: SqliteFile): Map<SeriesId, StoredSeries[]> {
  const bySeries = new Map<SeriesId, StoredSeries[]>();
  const rows = file.all(
    'SELECT * FROM definition JOIN series ON series.id = definition.series ORDER BY series, valid_from_ms',
  );
  for (const row of rows) {
    const definition = storedSeries(row);
    const before = bySeries.get(definition.series) ?? [];
    const last = before.pop();
    if (last !== undefined) before.push({ ...last, validToMs: definition.validFromMs });
    bySeries.set(definition.series, [...before, definition]);
  }
  return bySeries;
}

function storedSeries(row: Row): StoredSeries {
  return {
    series: numberIn(row, 'series'),
    name: textIn(row, 'name'),
    // The three texts were written by `write`, from a checked definition.
    kind: textIn(row, 'kind') as StoredSeries['kind'],
    unit: textIn(row, 'unit') as StoredSeries['unit'],
    interpolation: textIn(row, 'interpolation') as StoredSeries['interpolation'],
    resolution: numberIn(row, 'resolution'),
    heldMs: numberOrNullIn(row, 'held_ms'),
    validFromMs: numberIn(row, 'valid_from_ms'),
    validToMs: null,
  };
}

function namesOf(bySeries: ReadonlyMap<SeriesId, readonly StoredSeries[]>): Map<string, SeriesId> {
  return new Map(
    [...bySeries].flatMap(([series, definitions]) => definitions.slice(0, 1).map((d) => [d.name, series])),
  );
}
