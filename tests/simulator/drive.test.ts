import { describe, expect, it } from 'vitest';
import { currentRatio, stepDrive, warmDrive, type DriveStep } from '#simulator/drives/drive.ts';
import { speedAfter } from '#simulator/drives/speed.ts';

const entry = {
  prefix: '',
  ratedKw: 7.5,
  ratedCurrentA: 14.8,
  ratedSpeedRpm: 1455,
  hasPhases: true,
} as const;

const steady: DriveStep = {
  isOn: true,
  wasOn: true,
  switchingsS: [],
  stepS: 1,
  load: 0.7,
  mains: 1,
  ambientC: 22,
  bearingWear: 0,
  phaseImbalance: 0,
};

function after(steps: number, step: DriveStep) {
  const drive = warmDrive(entry, true, 100);
  for (let i = 0; i < steps; i += 1) stepDrive(drive, step);
  return drive;
}

describe('speedAfter', () => {
  it('has run for a third of the second when the contactor drops at 0.33 s and it stops dead', () => {
    const step = { speed: 1, wasOn: true, switchingsS: [0.33], stepS: 1, runUpS: 1, coastS: 1e-9 };
    expect(speedAfter(step).mean).toBeCloseTo(0.33, 6);
    expect(speedAfter(step).speed).toBe(0);
  });

  it('has travelled 1 - (1 - e^-1) of the step when it runs up with a time constant of the step, by hand', () => {
    const step = { speed: 0, wasOn: false, switchingsS: [0], stepS: 1, runUpS: 1, coastS: 1 };
    expect(speedAfter(step).speed).toBeCloseTo(1 - Math.exp(-1), 12);
    expect(speedAfter(step).mean).toBeCloseTo(Math.exp(-1), 12);
  });
});

describe('stepDrive', () => {
  it('draws rated current at rated load and voltage', () => {
    expect(currentRatio(1, 1, { mains: 1, bearingWear: 0 })).toBeCloseTo(1, 12);
  });

  it('draws six times rated current at stand-still, less as it runs up (from memory, high)', () => {
    expect(currentRatio(0, 0, { mains: 1, bearingWear: 0 })).toBeGreaterThan(5);
    expect(currentRatio(0, 0.9, { mains: 1, bearingWear: 0 })).toBeLessThan(1);
  });

  it('draws more when it is loaded more and none when it is off', () => {
    expect(after(5, { ...steady, load: 0.9 }).currentA).toBeGreaterThan(after(5, steady).currentA);
    expect(after(5, { ...steady, isOn: false, wasOn: false }).currentA).toBe(0);
  });

  it('keeps the mean of its phases when one of them draws more', () => {
    const { phasesA, currentA } = after(5, { ...steady, phaseImbalance: 0.1 });
    expect((phasesA[0] + phasesA[1] + phasesA[2]) / 3).toBeCloseTo(currentA, 9);
    expect(phasesA[0] / currentA).toBeGreaterThan(1.09);
  });

  it('runs hotter and shakes more with a worn bearing', () => {
    const worn = after(1800, { ...steady, bearingWear: 0.8 });
    const well = after(1800, steady);
    expect(worn.bearingC - well.bearingC).toBeGreaterThan(20);
    expect(worn.vibrationMmPerS).toBeGreaterThan(4);
  });

  it('counts a start and its hours', () => {
    const drive = warmDrive(entry, false, 0);
    stepDrive(drive, { ...steady, wasOn: false, switchingsS: [0.2] });
    for (let i = 0; i < 3599; i += 1) stepDrive(drive, steady);
    expect(drive.starts).toBe(1);
    expect(drive.runHours).toBeCloseTo(1, 9);
  });
});
