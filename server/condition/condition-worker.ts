/** The thread in which machines are learnt and judged: however long that takes, no tick waits for it. */
import { parentPort, workerData } from 'node:worker_threads';
import type { Answered, Asked, CallName, ConditionCalls, ConditionSetup } from './condition-calls.ts';
import { MachineKeeper } from './machine-keeper.ts';
import { machineStandings, signalCourses } from './machine-standings.ts';

const { settings, machines } = workerData as ConditionSetup;
const keeper = new MachineKeeper(machines, settings);

const CALLS: {
  readonly [Name in CallName]: (ask: ConditionCalls[Name]['ask']) => ConditionCalls[Name]['answer'];
} = {
  use: (baseline) => {
    keeper.use(baseline);
    return null;
  },
  serviced: ({ machine, counters }) => {
    keeper.serviced(machine, counters);
    return null;
  },
  take: (stretch) => keeper.take(stretch),
  gather: ({ stretch, isFirst }) => {
    keeper.gather(stretch, isFirst);
    return null;
  },
  learn: ({ machine }) => keeper.learn(machine),
  standing: () => ({ machines: machineStandings(keeper, settings), common: keeper.common() }),
  courses: ({ machine, fromMs, toMs }) => {
    const kept = keeper.machines().find((own) => own.machine.plan.machine === machine);
    const state = keeper.state().machines.get(machine);
    return kept === undefined ? [] : signalCourses(kept, state, { settings, fromMs, toMs });
  },
};

parentPort?.on('message', (asked: Asked) => {
  parentPort?.postMessage(answered(asked));
});

function answered<Name extends CallName>({ id, name, ask }: Asked<Name>): Answered {
  try {
    return { id, answer: CALLS[name](ask) };
  } catch (error) {
    return { id, failed: error instanceof Error ? error.message : String(error) };
  }
}
