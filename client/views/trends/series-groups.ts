import type { ThingNames } from '../../../server/contract/format/thing-names.ts';
import type { PlantDescription } from '../../../server/contract/plant-description.ts';

export interface SeriesItem {
  readonly id: string;
  readonly name: string;
}

/** The tags and figures of one machine, or of the line as a whole. */
export interface SeriesGroup {
  readonly id: string;
  readonly name: string;
  readonly items: readonly SeriesItem[];
}

/** Everything that can be shown, in the order of the line; figures before tags. */
export function seriesGroups(
  plant: PlantDescription,
  names: ThingNames,
  lineName: string,
): readonly SeriesGroup[] {
  const groups = new Map<string, SeriesItem[]>();
  const put = (machine: string, id: string) => {
    const items = groups.get(machine) ?? [];
    groups.set(machine, [...items, { id, name: names.subject(id) }]);
  };
  for (const figure of plant.figures) put(figure.machine ?? '', figure.id);
  for (const tag of plant.tags) put(tag.machine, tag.id);
  const order = ['', ...plant.lines.flatMap(({ machines }) => machines.map(({ id }) => id))];
  const others = [...groups.keys()].filter((id) => !order.includes(id));
  return [...order, ...others].flatMap((id) => {
    const items = groups.get(id);
    return items === undefined ? [] : [{ id, name: id === '' ? lineName : names.machine(id), items }];
  });
}

/** Keeps what matches every word, in the name, the group's name or the id. */
export function matching(groups: readonly SeriesGroup[], search: string): readonly SeriesGroup[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return groups;
  return groups.flatMap((group) => {
    const items = group.items.filter((item) => {
      const text = `${group.name} ${item.name} ${item.id}`.toLowerCase();
      return words.every((word) => text.includes(word));
    });
    return items.length === 0 ? [] : [{ ...group, items }];
  });
}
