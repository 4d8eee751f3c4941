import type { FigureDescription, FigureKind } from '../figure-message.ts';
import type { PlantDescription } from '../plant-description.ts';
import type { FormatWords } from './format-words.ts';

/** Finds the name that people use for a machine, a tag, a figure or a stream. An unknown id is its own name. */
export interface ThingNames {
  machine(id: string): string;
  stream(id: string): string;
  /** A tag or a figure. */
  subject(id: string): string;
}

export function thingNames(plant: PlantDescription, words: FormatWords): ThingNames {
  const machines = nameTable(plant.lines.flatMap((line) => line.machines));
  const streams = nameTable(plant.lines.flatMap((line) => line.streams));
  const tags = new Map(plant.tags.map((tag) => [tag.id, tag]));
  const figures = new Map(plant.figures.map((figure) => [figure.id, figure]));
  const named = (table: ReadonlyMap<string, string>, id: string) => table.get(id) ?? id;

  const names: ThingNames = {
    machine: (id) => named(machines, id),
    stream: (id) => named(streams, id),
    subject: (id) => {
      const figure = figures.get(id);
      if (figure !== undefined) return figureName(figure, names, words);
      const tag = tags.get(id);
      return tag === undefined ? id : tagName(names.machine(tag.machine), tag.name);
    },
  };
  return names;
}

/** "Destoner motor current"; "Intake scale", and not "Intake intake scale". */
function tagName(machine: string, name: string): string {
  const isNamedAlready = name.toLowerCase().startsWith(`${machine.toLowerCase()} `);
  return isNamedAlready ? `${name.charAt(0).toUpperCase()}${name.slice(1)}` : `${machine} ${name}`;
}

/** "Yield, this lot"; "Gravity table lights, share of line feed"; "Coat A dose". */
function figureName(figure: FigureDescription, names: ThingNames, words: FormatWords): string {
  const name = withoutWindow(figure, names, words);
  return figure.window === 'now' ? name : `${name}, ${words.figureWindow[figure.window]}`;
}

function withoutWindow(figure: FigureDescription, names: ThingNames, words: FormatWords): string {
  const kind = words.figureKind[figure.kind];
  if (figure.product !== null) {
    return figure.kind === 'product-dose'
      ? words.productDose(figure.product)
      : words.ofThing(kind, figure.product);
  }
  const machine = figure.machine === null ? '' : names.machine(figure.machine);
  const stream = figure.stream === null ? '' : names.stream(figure.stream);
  const leaving = [machine, stream].filter(Boolean).join(' ');
  if (leaving === '') return kind;
  const sayLeaving = LEAVING[figure.kind];
  if (sayLeaving !== undefined) return sayLeaving(words, leaving, machine);
  return OF_STREAM.has(figure.kind) ? words.ofThing(kind, leaving) : kind;
}

/** Of these a line has one for each stream, and only the stream tells them apart. */
const OF_STREAM: ReadonlySet<FigureKind> = new Set([
  'moisture',
  'reject-mass',
  'good-seed-lost',
  'good-seed-lost-worth',
  'reconciled-rate',
  'instrument-error',
]);

type SayLeaving = (words: FormatWords, leaving: string, machine: string) => string;

/** Figures of what leaves are known by machine and stream, not by their kind. */
const LEAVING: Readonly<Partial<Record<FigureKind, SayLeaving>>> = {
  'reject-rate': (_words, leaving) => leaving,
  'reject-share': (words, leaving) => words.shareOf(leaving),
  'reject-ratio': (words, leaving, machine) => words.ratioOf(leaving, machine),
};

function nameTable(
  things: readonly { readonly id: string; readonly name: string }[],
): ReadonlyMap<string, string> {
  return new Map(things.map((thing) => [thing.id, thing.name]));
}
