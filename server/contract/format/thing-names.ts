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
      return tag === undefined ? id : `${names.machine(tag.machine)} ${tag.name}`;
    },
  };
  return names;
}

/** "Yield, this lot"; "Gravity table lights, share of line feed"; "Coat A dose". */
function figureName(figure: FigureDescription, names: ThingNames, words: FormatWords): string {
  const name = withoutWindow(figure, names, words);
  return figure.window === 'now' ? name : `${name}, ${words.figureWindow[figure.window]}`;
}

function withoutWindow(figure: FigureDescription, names: ThingNames, words: FormatWords): string {
  if (figure.kind === 'product-dose' && figure.product !== null) return words.productDose(figure.product);
  const machine = figure.machine === null ? '' : names.machine(figure.machine);
  const stream = figure.stream === null ? '' : names.stream(figure.stream);
  const leaving = [machine, stream].filter(Boolean).join(' ');
  const sayLeaving = LEAVING[figure.kind];
  if (sayLeaving === undefined || leaving === '') return words.figureKind[figure.kind];
  return sayLeaving(words, leaving, machine);
}

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
