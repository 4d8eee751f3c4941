import { describe, expect, it } from 'vitest';
import { alarmRig, journalText, type Rig } from './alarm-rig.ts';
import { chainGraph, CLEANING, settings, stopRules, TREATING } from './line.ts';
import { stopRule } from './rules.ts';
import { annunciated, cascade, DESTONER, runningLine, S, T } from './running-line.ts';

describe('settledCascades and the restart of the line', () => {
  const stopAndRestart = (rig: Rig) => {
    const stopped = cascade(rig, 'destoner');
    rig.run(T + 5 * S);
    stopped.forEach((machine, at) => rig.read(`a.${machine}.running`, T + 60 * S + at * 2.5 * S, 1));
    return stopped;
  };

  it('says nothing while the machines start again one by one after their cause', () => {
    const rig = runningLine();
    stopAndRestart(rig);
    rig.run(T + 120 * S);
    expect(annunciated(rig)).toEqual([DESTONER]);
    expect(rig.standing().map(({ id, state }) => [id, state])).toEqual([
      [DESTONER, 'returned-unacknowledged'],
    ]);
  });

  it('lets a machine speak for itself that still stands when its cause has long gone', () => {
    const rig = runningLine();
    cascade(rig, 'destoner');
    rig.read('a.destoner.running', T + 60 * S, 1);
    rig.run(T + 359 * S);
    expect(annunciated(rig)).toEqual([DESTONER]);
    rig.run(T + 361 * S);
    expect(annunciated(rig)).toContain('a.sizer.stopped');
    expect(rig.alarm('a.sizer.stopped')).toMatchObject({ code: 'machine-stopped', params: {} });
  });

  it('counts a stop shorter than the resolution', () => {
    const rig = runningLine({ firstStop: { resolutionMs: 1000 } });
    rig.read('a.destoner.running', T, 0);
    rig.read('a.destoner.running', T + 80, 1);
    rig.run(T + 3 * S);
    expect(journalText(rig, DESTONER)).toEqual([
      `${T} normal > unacknowledged (machine-stopped)`,
      `${T + 80} unacknowledged > returned-unacknowledged (machine-stopped)`,
    ]);
  });

  it('alarms anew for the second stop of a machine', () => {
    const rig = runningLine();
    stopAndRestart(rig);
    rig.acknowledge(DESTONER, T + 10 * S);
    rig.read('a.destoner.running', T + 200 * S, 0);
    rig.read('a.elevator-2.running', T + 200 * S + 90, 0);
    rig.run(T + 210 * S);
    expect(annunciated(rig)).toEqual([DESTONER, DESTONER]);
    expect(rig.alarm(DESTONER)?.consequences).toEqual([{ machine: 'elevator-2', delayMs: 90 }]);
  });

  it('keeps the cascade over a restart of the server', () => {
    const rig = runningLine();
    stopAndRestart(rig);
    rig.run(T + 10 * S);
    const before = rig.standing();
    expect(before.map(({ state }) => state)).toContain('suppressed-by-design');
    rig.restart();
    expect(rig.standing()).toEqual(before);
    rig.run(T + 120 * S);
    expect(annunciated(rig)).toEqual([DESTONER]);
    expect(rig.standing().map(({ state }) => state)).toEqual(['returned-unacknowledged']);
  });
});

describe('a stop that was meant', () => {
  const armed = {
    all: [{ subject: 'a.intake.mass-flow', above: 500, unit: 'kg/h' as const }],
    lastsMs: 30 * S,
  };
  const rules = [...CLEANING, ...TREATING].map((machine) => stopRule(machine, { armed }));

  it('is no alarm when the line was run empty first', () => {
    const rig = runningLine({ rules });
    rig.read('a.intake.mass-flow', T - 100, 9000);
    rig.read('a.intake.mass-flow', T, 0);
    rig.read('a.intake.running', T + 40 * S, 0);
    rig.read('a.destoner.running', T + 60 * S, 0);
    rig.run(T + 70 * S);
    expect(rig.journal).toEqual([]);
  });

  it('is an alarm when seed was still on the line, and flow that ceases afterwards does not take it back', () => {
    const rig = runningLine({ rules });
    rig.read('a.intake.mass-flow', T - 100, 9000);
    rig.read('a.destoner.running', T, 0);
    rig.read('a.intake.running', T + 500, 0);
    rig.read('a.intake.mass-flow', T + 600, 0);
    rig.run(T + 120 * S);
    expect(rig.alarm(DESTONER)).toMatchObject({ state: 'unacknowledged', code: 'stopped-first' });
  });

  it('is no alarm when the machine was never seen running', () => {
    const rig = alarmRig(stopRules(), { firstStop: [settings()], graphs: [chainGraph()] });
    rig.read('a.destoner.running', S, 0);
    rig.run(5 * S);
    expect(rig.journal).toEqual([]);
  });
});
