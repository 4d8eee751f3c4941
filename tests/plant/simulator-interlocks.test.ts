import { describe, expect, it } from 'vitest';
import { simulatedPlant, type SimulatedPlant, type SimReading } from '#simulator/simulated-plant.ts';
import type { Upset } from '#simulator/upsets/upset.ts';
import { upsetNamed } from '#tests/simulator/pair-run.ts';
import { SEED } from '#tests/support/seed.ts';

interface Pull {
  readonly lever: string;
  readonly target?: string;
  readonly size: number;
  readonly lastsS?: number;
}

/** A settled line on which one lever is pulled at 10 s. */
function pulled({ lever, target = '', size, lastsS }: Pull): SimulatedPlant {
  const change = { lever, target, afterS: 0, rampS: 0, size, flutter: 0, lastsS };
  const upset: Upset = { name: lever, title: lever, about: lever, seed: 1, changes: [change] };
  return simulatedPlant({ seed: SEED, settleMs: 600_000, upsets: [{ upset, atMs: 10_000 }] });
}

const contacts = (readings: readonly SimReading[], pattern: RegExp) =>
  readings.filter((reading) => pattern.test(reading.node)).map(({ node, value }) => `${node} ${value}`);

const shown = (sim: SimulatedPlant, node: string) => sim.channels.values[sim.tagOf.get(node) ?? -1];

describe('the elevator speed switch', () => {
  it('leaves a leg running that has slowed by 16.7 % and shuts it down at 20 % (29 CFR 1910.272(q), C12)', () => {
    const alarmOnly = pulled({ lever: 'elevator-slip', target: 'Elevator2', size: 1 - 35 / 42 });
    alarmOnly.step(60_000);
    expect(shown(alarmOnly, 'Elevator2.Running')).toBe(1);
    expect(shown(alarmOnly, 'Elevator2.SpeedOk')).toBe(1);
    const trip = pulled({ lever: 'elevator-slip', target: 'Elevator2', size: 1 - 33.5 / 42 });
    trip.step(60_000);
    expect(shown(trip, 'Elevator2.Running')).toBe(0);
    expect(shown(trip, 'Sizer.Running')).toBe(0);
    expect(shown(trip, 'Destoner.Running')).toBe(1);
  });

  it('lets the line start again once the belt is tightened, from below upwards', () => {
    const sim = pulled({ lever: 'elevator-slip', target: 'Elevator2', size: 0.3, lastsS: 30 });
    const starts = contacts(sim.step(180_000), /^[A-Za-z0-9]+\.Running$/).filter((change) =>
      change.endsWith(' 1'),
    );
    expect(starts[0]).toBe('Elevator2.Running 1');
    expect(starts.at(-1)).toBe('Intake.Running 1');
  });
});

describe('a stop behind the clean bin', () => {
  it('leaves cleaning running until the bin is full, then stops the gravity table and all that feeds it', () => {
    const sim = pulled({ lever: 'machine-stop', target: 'Dryer', size: 1 });
    const first = contacts(sim.step(60_000), /Running$/);
    expect(first.filter((change) => !change.includes('Pump'))).toEqual([
      'Dryer.Running 0',
      'Treater.Running 0',
      'Elevator3.Running 0',
    ]);
    expect(first.filter((change) => change.includes('Pump')).sort()).toEqual(
      ['A', 'B', 'C'].map((letter) => `Treater.Pump${letter}Running 0`),
    );
    const later = contacts(sim.step(600_000), /HighLevel|Running$/);
    expect(later.slice(0, 3)).toEqual([
      'CleanBin.HighLevel 1',
      'GravityTable.Running 0',
      'Destoner.Running 0',
    ]);
    expect(later.at(-1)).toBe('Intake.Running 0');
  });

  it('pumps no liquid onto a drum that stands still', () => {
    const sim = pulled({ lever: 'machine-stop', target: 'Treater', size: 1 });
    sim.step(60_000);
    expect(sim.truth().pumpsMlPerMin).toEqual([0, 0, 0]);
    expect(shown(sim, 'Treater.PumpAFlow')).toBe(0);
  });
});

describe('an overload', () => {
  it('trips a leg that is choked before its belt slows, and stops what feeds it', () => {
    const sim = pulled({ lever: 'plugged-leg', target: 'Elevator1', size: 0.5 });
    const changes = contacts(sim.step(30_000), /^(Elevator1|Intake)\.Running$/);
    expect(changes.slice(0, 2)).toEqual(['Elevator1.Running 0', 'Intake.Running 0']);
  });
});

describe('a fan that stops', () => {
  it('takes its machine with it, and what feeds that', () => {
    const sim = pulled({ lever: 'machine-stop', target: 'AirScreen.Fan', size: 1 });
    const changes = contacts(sim.step(20_000), /Running$/);
    expect(changes).toEqual([
      'AirScreen.FanRunning 0',
      'AirScreen.Running 0',
      'Scalper.Running 0',
      'Elevator1.Running 0',
      'Intake.Running 0',
    ]);
  });
});

describe('a line that is well', () => {
  it('changes no contact in two hours', () => {
    const sim = simulatedPlant({ seed: SEED });
    const nodes = new Set(sim.tags.flatMap((entry) => (entry.kind === 'contact' ? [entry.node] : [])));
    const changes = Array.from({ length: 12 }, () => sim.step(600_000)).flatMap((readings) =>
      readings.filter((reading) => nodes.has(reading.node)),
    );
    expect(changes).toEqual([]);
  });
});

describe('after an upset', () => {
  it.each(['emergency-stop', 'plc-restart', 'plugged-leg', 'sticky-seed-bridging', 'demo-story'])(
    'the whole line is running again within the hour: %s',
    (name) => {
      const sim = simulatedPlant({ seed: SEED, upsets: [{ upset: upsetNamed(name), atMs: 0 }] });
      sim.step(3_600_000);
      const standing = sim.tags.filter(({ node }) => node.endsWith('Running') && shown(sim, node) === 0);
      expect(standing.map(({ node }) => node)).toEqual(['LengthGrader.Running']);
      expect(shown(sim, 'Intake.MassFlow')).toBeGreaterThan(12_000);
    },
  );
});
