import { describe, expect, it } from 'vitest';
import type { AlarmRule } from '#server/contract/alarm-rule.ts';
import { faultText } from '#server/contract/faults.ts';
import { alarmProblems } from '#server/alarms/alarm-problems.ts';
import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { chainGraph, settings } from './line.ts';
import { conditionRule, configurationOf, DOSE, doseRule, hotRule, stopRule, TEMPERATURE } from './rules.ts';

const known = {
  tags: new Map([
    [TEMPERATURE, 'degC' as const],
    ['a.destoner.running', 'state' as const],
  ]),
  figures: new Map([[DOSE, 'mL/bu' as const]]),
  graphs: [chainGraph()],
};
const textsOf = (...rules: readonly AlarmRule[]) =>
  alarmProblems(configurationOf(rules), known).map((problem) => faultText(problem.code, problem));

describe('alarmProblems', () => {
  it('finds nothing wrong with rules that fit the plant', () => {
    expect(textsOf(hotRule(), doseRule(), stopRule('destoner'))).toEqual([]);
  });

  it('lets a tag be watched for drift from where it was, but not from a target, which it has not', () => {
    const { card, line, machine } = hotRule();
    const about = { id: 'a.dryer.drift', card, line, machine, subject: TEMPERATURE, unit: 'degC' } as const;
    const chart = { kind: 'ewma', weight: 0.2, width: 3 } as const;
    const how = { kind: 'drift', chart, sampleMs: 1000, learnSamples: 20, deviationMin: 0.1 } as const;
    expect(textsOf({ ...about, ...how, center: 'learned' })).toEqual([]);
    expect(textsOf({ ...about, ...how, center: 'target' })).toEqual([
      'CONFIG_REFERENCE rules.a.dryer.drift.subject: got a.dryer.air-temperature, expected a figure, because tags have no band and no target; mend it; server not started',
    ]);
  });

  it.each<[string, AlarmRule, string]>([
    [
      'an unknown subject',
      hotRule({ subject: 'a.dryer.hotness' }),
      'CONFIG_REFERENCE rules.a.dryer.hot.subject: got a.dryer.hotness, expected a tag or figure of the plant; mend it; server not started',
    ],
    [
      'a limit in another unit than its subject',
      hotRule({ unit: 'kg/h' }),
      'CONFIG_REFERENCE rules.a.dryer.hot.unit: got kg/h, expected degC; give the number in that unit; server not started',
    ],
    [
      'a high limit above high-high',
      hotRule({
        limits: [
          { side: 'high', limit: 90, deadband: 1 },
          { side: 'high-high', limit: 85, deadband: 1 },
        ],
      }),
      'CONFIG_RANGE rules.a.dryer.hot.limits.high-high [degC]: got 85, expected > 90, which is high; put the limits in order',
    ],
    [
      'one side twice',
      hotRule({
        limits: [
          { side: 'low', limit: 10, deadband: 1 },
          { side: 'low', limit: 10, deadband: 1 },
        ],
      }),
      'CONFIG_RANGE rules.a.dryer.hot.limits.low [degC]: got 10, expected > 10, which is low; put the limits in order',
    ],
    [
      'a deviation of a tag',
      doseRule({ subject: TEMPERATURE, unit: 'degC' }),
      'CONFIG_REFERENCE rules.a.treater.dose-off-target.subject: got a.dryer.air-temperature, expected a figure, because tags have no band and no target; mend it; server not started',
    ],
    [
      'a run contact that is no contact',
      stopRule('destoner', { subject: TEMPERATURE }),
      'CONFIG_REFERENCE rules.a.destoner.stopped.subject: got degC, expected state; give the number in that unit; server not started',
    ],
    [
      'a term on an unknown tag',
      conditionRule({ id: 'a.line.x', when: [{ subject: 'a.no', is: 'on' }] }),
      'CONFIG_REFERENCE rules.a.line.x term: got a.no, expected a tag or figure of the plant; mend it; server not started',
    ],
    [
      'a rule that takes what is not there',
      stopRule('destoner', { takes: ['a.sifter.stopped'] }),
      'CONFIG_REFERENCE rules.a.destoner.stopped.takes: got a.sifter.stopped, expected the id of a rule; mend it; server not started',
    ],
    [
      'an id of another line',
      hotRule({ id: 'b.dryer.hot' }),
      'CONFIG_REFERENCE rules.b.dryer.hot.id: got b.dryer.hot, expected it to start with "a."; mend it; server not started',
    ],
  ])('names %s', (_what, rule, text) => {
    expect(textsOf(rule)).toEqual([text]);
  });

  it('names an unknown line and an unknown machine with what there is', () => {
    expect(textsOf(hotRule({ line: 'c' }))[0]).toContain('got c, expected one of a;');
    expect(textsOf(hotRule({ machine: 'sifter' }))[0]).toContain(
      'got sifter, expected one of intake, elevator-1,',
    );
  });

  it('names a first-out latch that points nowhere', () => {
    const latch = { tag: 'a.line.first-out', rules: { '1': 'a.sifter.stopped' } };
    const problems = alarmProblems(configurationOf([], { firstStop: [settings({ latch })] }), known);
    expect(problems.map(({ subject, got }) => [subject, got])).toEqual([
      ['firstStop.a.latch.tag', 'a.line.first-out'],
      ['firstStop.a.latch.rules', 'a.sifter.stopped'],
    ]);
  });
});

describe('alarmSetup', () => {
  it('refuses an id that is there twice', () => {
    expect(() => alarmSetup(configurationOf([hotRule(), hotRule()]), [])).toThrow(
      'CONFIG_REFERENCE alarm rules: got a.dryer.hot twice, expected each id once; rename one of them',
    );
  });
});
