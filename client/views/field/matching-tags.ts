import type { PlantDescription } from '../../../server/contract/plant-description.ts';
import type { TagDescription } from '../../../server/contract/tag-description.ts';

/** The tags whose name, machine or id holds every word of the search. */
export function matchingTags(plant: PlantDescription, search: string): readonly TagDescription[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return plant.tags;
  const machines = new Map(plant.lines.flatMap((line) => line.machines.map(({ id, name }) => [id, name])));
  return plant.tags.filter((tag) => {
    const text = `${tag.name} ${machines.get(tag.machine) ?? ''} ${tag.id}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
}
