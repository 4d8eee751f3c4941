import { allKnown, derived, exactEstimate, unknownEstimate, type Estimate } from './estimate.ts';
import { known } from '../calc/figure.ts';
import { flowFloorOf } from './dose-figures.ts';
import type { LineContext } from './line-context.ts';
import { seedRate, rateOver } from './stream-amounts.ts';
import type { Work } from './seen-amounts.ts';
import { spanOf } from './window-spans.ts';

/** 1 while a gate stands otherwise than the lot's route wants it: seed may get into the wrong bin, or mix. */
export function offRouteFigure(): Work {
  return (context) => {
    const { routes = [] } = context.setup.settings;
    if (context.lot === null) return unknownEstimate('no-lot');
    const { route } = context.lot;
    const wanted = routes.find(({ name }) => name === route);
    if (wanted === undefined) return unknownEstimate('not-measured');
    const gates = allKnown(
      [...context.setup.layout.bypassTags].map(([machine, tag]) =>
        gateOff(context, tag, wanted.bypassed.includes(machine)),
      ),
    );
    if ('known' in gates) return gates;
    const isOff = gates.some(({ value }) => value === 1);
    return derived(
      known(isOff ? 1 : 0),
      gates.map((of) => ({ of, slope: 0 })),
    );
  };
}

/** 1 while pumps deliver and no seed passes the treater. */
export function liquidWithoutSeedFigure(): Work {
  return (context) => treating(context, ({ hasSeed, hasLiquid }) => hasLiquid && !hasSeed);
}

/** 1 while seed passes the treater and no pump delivers, though the lot is to be treated. */
export function seedWithoutLiquidFigure(): Work {
  return (context) => {
    if (context.lot === null) return unknownEstimate('no-lot');
    const isTreated = context.lot.products.length > 0;
    return treating(context, ({ hasSeed, hasLiquid }) => isTreated && hasSeed && !hasLiquid);
  };
}

function gateOff(context: LineContext, tag: string, isWantedBypassed: boolean): Estimate {
  const span = spanOf(context, 'now', { at: 0, seenAt: 0 });
  const gate = rateOver({ ...context, trace: context.trace }, { role: 'gate', stream: null, tag }, span);
  if (!gate.known) return gate;
  // A gate is where it stands now, not where it stood on average.
  const stands = context.frame.latest.get(tag)?.value === 1;
  return { ...exactEstimate(stands === isWantedBypassed ? 0 : 1), quality: gate.quality };
}

function treating(
  context: LineContext,
  holds: (now: { readonly hasSeed: boolean; readonly hasLiquid: boolean }) => boolean,
): Estimate {
  const { layout, settings } = context.setup;
  const place = { at: layout.treaterFeedPlace, seenAt: layout.treaterPlace };
  const span = spanOf(context, 'now', place);
  const atTreater = spanOf(context, 'now', { at: layout.treaterPlace, seenAt: layout.treaterPlace });
  const inputs = allKnown([
    seedRate(context, { stream: layout.treaterFeed, role: 'seed' }, span),
    ...layout.liquids.map(({ id, volumeFlowTag }) =>
      rateOver(context, { role: 'liquid', stream: id, tag: volumeFlowTag }, atTreater),
    ),
  ]);
  if ('known' in inputs) return inputs;
  const [seed, ...pumps] = inputs;
  if (seed === undefined) return unknownEstimate('not-measured');
  const hasLiquid = pumps.some(({ value }, index) => {
    const liquid = layout.liquids[index];
    return liquid !== undefined && value > flowFloorOf(context, liquid);
  });
  const isSo = holds({ hasSeed: seed.value >= settings.feedKgPerHFloor, hasLiquid });
  return derived(
    known(isSo ? 1 : 0),
    inputs.map((of) => ({ of, slope: 0 })),
  );
}
