import type { LineGraph } from '../../../server/contract/line-graph.ts';
import type { Wish } from '../../live/watch-list.ts';
import type { LineFigures } from './line-figures.ts';

/** All figures and contacts that the ribbon shows. */
export function wishOf(graph: LineGraph, figures: LineFigures): Wish {
  const { feed, clean, treated, closure, rejects } = figures;
  const ofRejects = rejects.flatMap((reject) =>
    reject === null ? [] : [reject.share, reject.ratio, reject.rate],
  );
  const shown = [feed, clean, treated, closure, ...ofRejects];
  return {
    figures: [...new Set(shown.flatMap((figure) => (figure === undefined ? [] : [figure.id])))],
    tags: graph.machines.flatMap(({ runningTag, bypassedTag }) =>
      [runningTag, bypassedTag].filter((tag) => tag !== null),
    ),
  };
}
