import type { MachineBaseline, SignalBaseline } from '../contract/machine-records.ts';
import type { GroupBaseline } from '../machines/learn-baseline.ts';
import type { LearntMachine } from '../machines/learn-machine.ts';

/** What was learnt, as it is kept. */
export function storedSignals(learnt: LearntMachine): SignalBaseline[] {
  return [...learnt].map(([signal, { baseline, spread, shared, usual }]) => ({
    signal,
    groups: [...baseline.groups].map(([group, own]) => ({
      group,
      coefficients: [...own.coefficients],
      influences: own.influences.map((influence) => ({ ...influence })),
      deviation: own.deviation,
      points: own.points,
    })),
    blockDeviation: spread.deviation,
    widening: spread.widening,
    shared,
    usual,
  }));
}

/** What is kept, as it was learnt. */
export function learntFrom({ signals, fromMs, toMs }: MachineBaseline): LearntMachine {
  return new Map(
    signals.map(({ signal, groups, blockDeviation, widening, shared, usual }) => [
      signal,
      {
        baseline: {
          signal,
          fromMs,
          toMs,
          groups: new Map(groups.map(({ group, ...own }): [string, GroupBaseline] => [group, own])),
        },
        spread: { deviation: blockDeviation, widening },
        shared,
        usual,
      },
    ]),
  );
}
