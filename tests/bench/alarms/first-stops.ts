import type { PlantConfig } from '#server/config/plant-config.ts';
import { cascadeOf, STOPPABLE, toldOf } from '#tests/alarms/seeded-cascades.ts';

export interface FirstStops {
  readonly setting: string;
  readonly cascades: number;
  /** One name, and it is right. */
  readonly right: number;
  /** Several candidates, the right one among them. */
  readonly among: number;
  readonly wrongSingle: number;
  readonly missed: number;
}

/** Two stops can be told apart when they are further apart than sampling interval + scan, doubled as in alarms.yaml. */
const SETTINGS = [
  { setting: "the controller's own times", samplingMs: 0, resolutionMs: 40, hasLatch: false },
  {
    setting: 'polled every 1 s, with a first-out latch',
    samplingMs: 1000,
    resolutionMs: 1040,
    hasLatch: true,
  },
  { setting: 'contacts polled every 250 ms', samplingMs: 250, resolutionMs: 290, hasLatch: false },
  { setting: 'contacts polled every 1 s', samplingMs: 1000, resolutionMs: 1040, hasLatch: false },
] as const;

/** Seeded cascades over all machines and fans, by the simulator's interlocks, told by the alarms. */
export function firstStops(config: PlantConfig, cascades: number): readonly FirstStops[] {
  return SETTINGS.map(({ setting, hasLatch, ...times }) => {
    const count = { right: 0, among: 0, wrongSingle: 0, missed: 0 };
    for (let seed = 1; seed <= cascades; seed += 1) {
      const first = STOPPABLE[seed % STOPPABLE.length] ?? '';
      const sampling = hasLatch ? { ...times, latched: ruleOf(first) } : times;
      const { named } = toldOf(config, cascadeOf(seed, first), sampling);
      const isThere = named.includes(ruleOf(first));
      if (named.length === 1) count[isThere ? 'right' : 'wrongSingle'] += 1;
      else count[isThere ? 'among' : 'missed'] += 1;
    }
    return { setting, cascades, ...count };
  });
}

function ruleOf(drive: string): string {
  const [machine = '', part = ''] = drive.split('.');
  const id = machine.replace(/([a-z])([A-Z0-9])/g, '$1-$2').toLowerCase();
  return `a.${id}.${part === 'Fan' ? 'fan-stopped' : 'stopped'}`;
}
