import { instrumentErrorFigure, reconciledFigure } from './balance-figures.ts';
import { described } from './described.ts';
import type { FigurePlan, PlanParts } from './figure-plans.ts';

/** Of every weighed stream: the rate that fits all scales, and by how much its own scale is wrong. */
export function balancePlans({ graph, network }: PlanParts): readonly FigurePlan[] {
  const streams = network.flows.flatMap((flow) => (flow.is === 'stream' ? [flow.stream] : []));
  const sources = streams.flatMap(({ massFlowTag, massTotalTag }) => [massFlowTag, massTotalTag]);
  return streams.flatMap((stream): readonly FigurePlan[] => {
    const tag = stream.massFlowTag ?? stream.massTotalTag;
    const naming = { graph, stream: stream.id } as const;
    const rate: FigurePlan = {
      description: described({
        ...naming,
        kind: 'reconciled-rate',
        name: `reconciled-rate-${stream.id}`,
        unit: 'kg/h',
        sources,
      }),
      formula: 'least-squares',
      isSlow: true,
      work: reconciledFigure(stream),
    };
    if (tag === null) return [rate];
    const error: FigurePlan = {
      description: described({
        ...naming,
        kind: 'instrument-error',
        name: `instrument-error-${stream.id}`,
        unit: '1',
        sources: [tag],
      }),
      formula: 'implied-error',
      isSlow: true,
      work: instrumentErrorFigure(stream),
    };
    return [rate, error];
  });
}
