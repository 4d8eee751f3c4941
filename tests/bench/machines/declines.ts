import { declineReachesS, FAILURE_SIZE, type Decline, type DeclineLever } from '#simulator/life/decline.ts';
import { steadyDrive } from '#simulator/life/steady-drive.ts';
import { randomStream } from '#simulator/physics/random.ts';

/** The kinds of upset that wear a drive out, as the catalogue of upsets has them. */
export type DeclineKind =
  | 'fan-bearing-wear'
  | 'fan-filter-loading'
  | 'belt-slip'
  | 'deck-out-of-tune'
  | 'motor-phase-imbalance'
  | 'air-gate-drift';

export interface PlayedDecline {
  readonly kind: DeclineKind;
  readonly decline: Decline;
  /** The machine of the configuration that it befalls. */
  readonly machine: string;
  /** The row of the table that names it. */
  readonly cause: string;
}

export const HEALTHY_DAYS = 14;
const DAY_S = 86_400;

const FANS = ['AirScreen.Fan', 'Aspirator.Fan', 'Destoner.Fan', 'GravityTable.Fan', 'Dryer.Fan'];
const WITH_PHASES = ['AirScreen.Fan', 'GravityTable.Fan', 'Dryer.Fan', 'Elevator1'];

/** Six declines in one life, one of each kind, each on a machine of its own; who, when, how long and how bent by the seed. */
export function declinesOf(seed: number): readonly PlayedDecline[] {
  const random = randomStream(seed, 'declines');
  const taken = new Set<string>();
  const pick = (targets: readonly string[]): string => {
    const free = targets.filter((target) => !taken.has(machineId(target)));
    const target = free[Math.floor(random.uniform() * free.length)] ?? '';
    taken.add(machineId(target));
    return target;
  };
  const play = (kind: DeclineKind, lever: DeclineLever, target: string): PlayedDecline => {
    const beginsS = (HEALTHY_DAYS + 1 + 4 * random.uniform()) * DAY_S;
    const lastsS = (12 + 16 * random.uniform()) * DAY_S;
    const decline = { lever, target, beginsS, lastsS, bend: 0.9 + 1.1 * random.uniform() };
    return {
      kind,
      decline,
      machine: lever === 'air-gate-drift' ? gateMachine(target) : machineId(target),
      cause: CAUSES[kind],
    };
  };
  const gate = random.uniform() < 0.5 ? 'AirScreen' : 'Aspirator';
  taken.add(gateMachine(gate));
  const filter = random.uniform() < 0.5 ? 'DustSystem.Fan' : pick(FANS);
  const deck = pick(['Destoner', 'GravityTable']);
  const belt = pick(['Elevator1', 'Elevator2', 'Elevator3', 'Destoner', 'GravityTable']);
  const phases = pick(WITH_PHASES);
  return [
    play('air-gate-drift', 'air-gate-drift', gate),
    play('fan-filter-loading', 'filter-loading', filter),
    play('deck-out-of-tune', 'deck-out-of-tune', deck),
    play('belt-slip', belt.startsWith('Elevator') ? 'elevator-slip' : 'deck-belt-slip', belt),
    play('motor-phase-imbalance', 'phase-imbalance', phases),
    play('fan-bearing-wear', 'bearing-wear', pick(FANS)),
  ];
}

const CAUSES: Readonly<Record<DeclineKind, string>> = {
  'fan-bearing-wear': 'bearing-wear',
  'fan-filter-loading': 'filter-loaded',
  'belt-slip': 'belt-slip',
  'deck-out-of-tune': 'deck-out-of-tune',
  'motor-phase-imbalance': 'phase-unbalance',
  'air-gate-drift': 'air-gate-opened',
};

function gateMachine(target: string): string {
  return `${kebab(target)}-fan`;
}

function machineId(target: string): string {
  return target === 'DustSystem.Fan' ? 'dust-fan' : kebab(target);
}

function kebab(name: string): string {
  return name
    .replace('.', '')
    .replaceAll(/(?<=[a-z])(?=[A-Z0-9])/g, '-')
    .toLowerCase();
}

/** When the drive fails, ms. */
export function failsMs({ decline }: PlayedDecline): number {
  return (decline.beginsS + decline.lastsS) * 1000;
}

export interface LimitAsked {
  /** What the plant calls the signal, and what divides it, where the signal is a ratio of two. */
  readonly node: string;
  readonly overNode: string | null;
  readonly factor: number;
  readonly residual: 'ratio' | 'difference';
  readonly limit: number;
}

/** When the true signal, free of noise and at its usual load, reaches a limit of its deviation; Infinity if never. */
export function reachesMs({ decline }: PlayedDecline, asked: LimitAsked): number {
  const end = FAILURE_SIZE[decline.lever];
  const healthy = steadyValue(decline, asked, 0);
  const isReached = (size: number) => {
    const value = steadyValue(decline, asked, size);
    const deviation = asked.residual === 'ratio' ? value / healthy - 1 : value - healthy;
    return Math.sign(asked.limit) * deviation >= Math.abs(asked.limit);
  };
  if (!isReached(end)) return Infinity;
  let [low, high]: [number, number] = [0, end];
  for (let round = 0; round < 40; round += 1) {
    const middle = (low + high) / 2;
    if (isReached(middle)) high = middle;
    else low = middle;
  }
  return declineReachesS(decline, high) * 1000;
}

function steadyValue(
  { lever, target }: Decline,
  { node, overNode, factor }: LimitAsked,
  size: number,
): number {
  const values = steadyDrive({
    crop: 'soybean',
    throughput: 0.89,
    ambientC: 20,
    mains: 1,
    levers: [{ kind: lever, target, size }],
  });
  const value = (values.get(node) ?? 0) * factor;
  return overNode === null ? value : value / (values.get(overNode) ?? 1);
}
