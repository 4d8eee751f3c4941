import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { newReplay, playTick } from '#server/alarms/replayed-alarms.ts';
import { standingAlarms } from '#server/alarms/alarm-state.ts';
import { loadConfig } from '#server/config/load-config.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import { reading } from '#tests/line/demo-readings.ts';

const S = 1000;
const BELT = 'a.elevator-2.belt-slow';
const SWITCH = 'a.elevator-2.too-slow';
const FULL_M_PER_S = 2.4;

let config: PlantConfig;
beforeAll(async () => {
  config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
});

/** The leg from a standing start, then at a share of its speed from 30 s on; answers with what stands after 60 s. */
function leg(share: number, more: { readonly stopsS?: number; readonly switchOpens?: boolean } = {}) {
  const rules = config.alarms.rules.filter(({ id }) => id === BELT || id === SWITCH);
  const run = newReplay({ ...config.alarms, rules, suppressions: [], firstStop: [] }, config.lines);
  const readings = Array.from({ length: 61 }, (_, second) => {
    const isRunning = second < (more.stopsS ?? Infinity);
    const ratio = second < 8 ? second / 8 : second < 30 ? 1 : share;
    const isFast = more.switchOpens === true ? second < 30 : second >= 7;
    return [
      reading('a.elevator-2.running', second * S, isRunning ? 1 : 0),
      reading('a.elevator-2.belt-speed', second * S, isRunning ? ratio * FULL_M_PER_S : 0),
      reading('a.elevator-2.speed-ok', second * S, isFast ? 1 : 0),
    ];
  });
  for (const [second, at] of readings.entries()) {
    const frame = { endMs: second * S, tickMs: S, readings: at, latest: new Map() };
    playTick(run, { frame, figures: new Map(), restarts: [] });
  }
  const standing = standingAlarms(run.setup, run.state);
  return { standing, asked: run.transitions.filter(({ to }) => to === 'unacknowledged') };
}

describe('the demo’s rule for a slow elevator', () => {
  it('is silent while the belt comes up to speed and runs', () => {
    expect(leg(1).asked).toEqual([]);
  });

  it('is silent at exactly 10 % below full speed, and warns beyond it', () => {
    expect(leg(0.9).asked).toEqual([]);
    expect(leg(0.899).standing).toMatchObject([
      { id: BELT, code: 'low', card: 'belt-slowing', priority: 'high' },
    ]);
  });

  it('only warns at 35 of 42 revolutions a minute, a drop of 16.7 % (handbook C12, 29 CFR 1910.272(q))', () => {
    const { asked } = leg(35 / 42);
    expect(asked).toMatchObject([{ alarm: BELT, code: 'low', timeMs: 32 * S }]);
    expect(asked).toHaveLength(1);
  });

  it('says at 33.5 of 42, beyond the trip at 33.6 (C12), that the hard-wired trip has stopped the leg, or has failed', () => {
    const { standing } = leg(33.5 / 42);
    expect(standing).toMatchObject([{ id: BELT, code: 'low-low', card: 'belt-slow' }]);
    const card = config.alarms.cards['belt-slow'];
    expect(card?.consequence).toContain('The hard-wired trip has stopped the leg.');
    expect(card?.actions[0]).toContain('its trip has failed: press the emergency stop');
  });

  it('leaves a leg that its trip has stopped to the speed switch, whose card says the same', () => {
    const { standing } = leg(0.79, { stopsS: 31, switchOpens: true });
    expect(standing).toMatchObject([{ id: SWITCH, state: 'unacknowledged', card: 'belt-slow' }]);
  });

  it('is silent when the leg is switched off', () => {
    expect(leg(1, { stopsS: 40 }).asked).toEqual([]);
  });
});
