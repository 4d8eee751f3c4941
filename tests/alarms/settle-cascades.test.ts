import { describe, expect, it } from 'vitest';
import { journalText } from './alarm-rig.ts';
import { CLEANING, stopRules, TREATING } from './line.ts';
import { conditionRule } from './rules.ts';
import { annunciated, cascade, DESTONER, runningLine, S, T } from './running-line.ts';

describe('settledCascades', () => {
  it('names the destoner within 2 s, once, with all that feeds it under it and their delays', () => {
    const rig = runningLine();
    cascade(rig, 'destoner');
    rig.run(T + 2 * S);
    expect(annunciated(rig)).toEqual([DESTONER]);
    expect(rig.alarm(DESTONER)).toMatchObject({
      code: 'stopped-first',
      machine: 'destoner',
      state: 'unacknowledged',
      raisedMs: T,
      params: { basis: 'times' },
      consequences: [
        { machine: 'elevator-2', delayMs: 110 },
        { machine: 'sizer', delayMs: 220 },
        { machine: 'length-grader', delayMs: 330 },
        { machine: 'aspirator', delayMs: 440 },
        { machine: 'air-screen', delayMs: 550 },
        { machine: 'scalper', delayMs: 660 },
        { machine: 'elevator-1', delayMs: 770 },
        { machine: 'intake', delayMs: 880 },
      ],
    });
    expect(rig.alarm('a.sizer.stopped')).toMatchObject({
      state: 'suppressed-by-design',
      params: { cause: 'destoner', causeAlarm: DESTONER, delay: { value: 0.22, unit: 's' } },
    });
  });

  it('speaks in the first frame after the resolution, before the last machine has stopped', () => {
    const rig = runningLine();
    cascade(rig, 'destoner');
    rig.run(T + 250);
    expect(rig.alarm(DESTONER)).toMatchObject({ code: 'stopped-first' });
    expect(rig.alarm(DESTONER)?.consequences).toHaveLength(2);
  });

  it.each([...CLEANING, ...TREATING])(
    'finds the first stop and only it, whichever machine it is: %s',
    (first) => {
      const rig = runningLine();
      const stopped = cascade(rig, first);
      rig.run(T + 5 * S);
      expect(annunciated(rig)).toEqual([`a.${first}.stopped`]);
      expect(rig.alarm(`a.${first}.stopped`)?.consequences.map(({ machine }) => machine)).toEqual(
        stopped.slice(1),
      );
    },
  );

  it('calls a stop that nothing follows a stop, not a first stop', () => {
    const rig = runningLine();
    rig.read('a.intake.running', T, 0);
    rig.run(T + S);
    expect(rig.alarm('a.intake.stopped')?.code).toBe('machine-stopped');
  });

  it('takes the fan for the cause when the fan stopped and took its machine with it', () => {
    const rig = runningLine();
    rig.read('a.destoner.fan-running', T - 90, 0);
    cascade(rig, 'destoner');
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.destoner.fan-stopped']);
    expect(rig.alarm('a.destoner.fan-stopped')?.consequences[0]).toEqual({
      machine: 'destoner',
      delayMs: 90,
    });
  });

  it('does not reach through a bin: the treater stops and the gravity table runs on', () => {
    const rig = runningLine();
    cascade(rig, 'treater');
    rig.read('a.gravity-table.running', T + 1 * S, 0);
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.treater.stopped', 'a.gravity-table.stopped']);
  });

  it('tells two stops apart that have nothing to do with each other', () => {
    const rig = runningLine();
    rig.read('a.sizer.running', T, 0);
    rig.read('a.length-grader.running', T + 110, 0);
    rig.read('a.bagger.running', T + 300, 0);
    rig.read('a.dryer.running', T + 400, 0);
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.sizer.stopped', 'a.bagger.stopped']);
  });

  it('does not put an earlier stop under a later one', () => {
    const rig = runningLine();
    rig.read('a.sizer.running', T, 0);
    rig.read('a.length-grader.running', T + 110, 0);
    rig.read('a.destoner.running', T + 150, 0);
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.sizer.stopped', DESTONER]);
    expect(rig.alarm('a.sizer.stopped')?.consequences).toEqual([{ machine: 'length-grader', delayMs: 110 }]);
  });

  it('moves the blame when the true first stop arrives late, and says both in the journal', () => {
    const rig = runningLine({ firstStop: { resolutionMs: 1000 } });
    rig.read('a.sizer.running', T, 0);
    rig.run(T + 1.5 * S);
    rig.arriveLate('a.destoner.running', T - 100, 0);
    rig.run(T + 2 * S);
    expect(rig.alarm(DESTONER)).toMatchObject({ state: 'unacknowledged', code: 'stopped-first' });
    expect(rig.alarm('a.sizer.stopped')?.state).toBe('suppressed-by-design');
    expect(journalText(rig, 'a.sizer.stopped')).toHaveLength(2);
  });
});

describe('settledCascades when it cannot be told', () => {
  it('lists what stopped together without an interlock between them', () => {
    const rig = runningLine();
    rig.read('a.gravity-table.running', T, 0);
    rig.read('a.bagger.running', T + 15, 0);
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.gravity-table.stopped']);
    expect(rig.alarm('a.gravity-table.stopped')).toMatchObject({
      code: 'first-stop-unclear',
      candidates: ['gravity-table', 'bagger'],
    });
  });

  it('suspects a machine whose contact is not measured and that would take the first', () => {
    const rig = runningLine({ unmeasured: ['gravity-table'] });
    cascade(rig, 'destoner');
    rig.run(T + 3 * S);
    expect(rig.alarm(DESTONER)).toMatchObject({
      code: 'first-stop-unclear',
      candidates: ['destoner', 'gravity-table'],
    });
  });

  it('suspects a machine whose contact says nothing just now', () => {
    const rig = runningLine();
    rig.read('a.sizer.running', T - 100, null);
    rig.read('a.length-grader.running', T, 0);
    rig.run(T + 3 * S);
    expect(rig.alarm('a.length-grader.stopped')).toMatchObject({
      code: 'first-stop-unclear',
      candidates: ['length-grader', 'sizer'],
    });
  });

  it('does not suspect a bypassed machine that stood all along, but looks behind it', () => {
    const rig = runningLine();
    rig.read('a.length-grader.running', T - 300, 0);
    rig.run(T - 50 + 6 * S);
    rig.read('a.sizer.running', T + 10 * S, null);
    rig.read('a.aspirator.running', T + 20 * S, 0);
    rig.run(T + 25 * S);
    expect(rig.alarm('a.aspirator.stopped')?.candidates).toEqual(['aspirator', 'sizer']);
  });

  it("believes the controller's own latch before times and interlocks", () => {
    const latch = { tag: 'a.line.first-out', rules: { '7': 'a.sizer.stopped' } };
    const rig = runningLine({ firstStop: { resolutionMs: 1000, latch } });
    rig.read('a.line.first-out', T - 10, 7);
    for (const machine of ['destoner', 'elevator-2', 'sizer']) rig.read(`a.${machine}.running`, T, 0);
    rig.run(T + 2 * S);
    expect(annunciated(rig)).toEqual(['a.sizer.stopped']);
    expect(rig.alarm('a.sizer.stopped')).toMatchObject({ code: 'stopped-first', params: { basis: 'latch' } });
  });
});

describe('settledCascades with contacts that stop machines', () => {
  const emergency = conditionRule({
    id: 'a.plant.emergency-stop',
    when: [{ subject: 'a.plant.emergency-stop', is: 'on' }],
    takes: 'line',
  });
  const plugged = conditionRule({
    id: 'a.sizer.chute-plugged',
    machine: 'sizer',
    when: [{ subject: 'a.sizer.chute-plugged', is: 'on' }],
    takes: ['a.sizer.stopped'],
  });

  it('puts every stop under the emergency stop: one annunciation', () => {
    const rig = runningLine({ rules: [...stopRules(), emergency] });
    rig.read('a.plant.emergency-stop', T, 1);
    for (const machine of [...CLEANING, ...TREATING]) rig.read(`a.${machine}.running`, T + 12, 0);
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.plant.emergency-stop']);
    expect(rig.alarm('a.plant.emergency-stop')).toMatchObject({ code: 'contact' });
    expect(rig.alarm('a.plant.emergency-stop')?.consequences).toHaveLength(14);
  });

  it('puts the sizer and what feeds it under its plugged chute', () => {
    const rig = runningLine({ rules: [...stopRules(), plugged] });
    rig.read('a.sizer.chute-plugged', T - 20, 1);
    cascade(rig, 'sizer');
    rig.run(T + 3 * S);
    expect(annunciated(rig)).toEqual(['a.sizer.chute-plugged']);
    expect(rig.alarm('a.sizer.chute-plugged')?.consequences[0]).toEqual({ machine: 'sizer', delayMs: 20 });
  });
});
