import { binPassage } from '../calc/transport/bin-passage.ts';
import { kilograms, kilogramsPerHour } from '../calc/units.ts';
import type { Frame } from '../contract/frame.ts';
import type { LineSetup } from './line-setup.ts';

interface BinView {
  readonly setup: LineSetup;
  readonly frame: Frame;
}

/** How long seed lies in all bins before each stream of the path, as they are filled and run out now. */
export function binWaysThrough(view: BinView): readonly number[] {
  let wayMs = 0;
  return view.setup.layout.path.map((_, place) => (wayMs += binWayMs(view, place)));
}

/**
 * How long seed lies in a bin that it leaves by `path[place]`: contents over outflow, as both stand now. Nothing where
 * the machine gathers no seed, or while contents or outflow cannot be read or the bin stands: then the configured
 * transport has to do.
 */
function binWayMs(view: BinView, place: number): number {
  const { path } = view.setup.layout;
  const contents = newest(view, contentsTag(view.setup, path[place]?.from ?? null));
  if (contents === null) return 0;
  const outflow = newest(
    view,
    path.slice(place).find(({ massFlowTag }) => massFlowTag !== null)?.massFlowTag,
  );
  if (outflow === null) return 0;
  const passage = binPassage({
    contents: kilograms(Math.max(0, contents)),
    outflow: kilogramsPerHour(Math.max(0, outflow)),
    outflowFloor: kilogramsPerHour(view.setup.settings.feedKgPerHFloor),
  });
  return passage.known ? passage.value * 1000 : 0;
}

function contentsTag({ graph }: LineSetup, machine: string | null): string | null {
  return graph.machines.find(({ id }) => id === machine)?.contentsTag ?? null;
}

function newest({ frame }: BinView, tag: string | null | undefined): number | null {
  const reading = frame.latest.get(tag ?? '');
  return reading === undefined || reading.quality === 'bad' ? null : reading.value;
}
