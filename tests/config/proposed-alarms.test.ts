import { describe, expect, it } from 'vitest';
import { proposedAlarms } from '#server/config/proposed-alarms.ts';
import { configurationOf, conditionRule, HOT, hotRule, stopRule } from '#tests/alarms/rules.ts';

const inForce = configurationOf(
  [
    hotRule(),
    stopRule('leg'),
    conditionRule({
      id: 'a.leg.plugged',
      when: [{ subject: 'a.leg.plug', is: 'on' }],
      takes: ['a.leg.stopped'],
    }),
  ],
  {
    suppressions: [
      {
        id: 'a.line.idle',
        line: 'a',
        while: { all: [{ subject: 'a.leg.running', is: 'off' }] },
        rules: [HOT],
        reason: 'cold',
      },
    ],
    firstStop: [
      {
        line: 'a',
        resolutionMs: 100,
        gapMsMax: 1000,
        graceMs: 0,
        latch: { tag: 'a.latch', rules: { '1': 'a.leg.stopped' } },
      },
    ],
  },
);
const rulesOf = (text: string) => proposedAlarms(text, inForce).configuration.rules;
const refusalOf = (text: string) => {
  try {
    proposedAlarms(text, inForce);
  } catch (error) {
    return (error as Error).message;
  }
  throw new Error('the proposal was taken');
};

describe('a proposal', () => {
  it('lays its keys over a rule in force and leaves the others as they are', () => {
    const { configuration, touched } = proposedAlarms(
      `rules:\n  - id: ${HOT}\n    limits: [{ side: high, limit: 85, deadband: 5 }]\n`,
      inForce,
    );
    expect(configuration.rules).toEqual([
      hotRule({ limits: [{ side: 'high', limit: 85, deadband: 5 }] }),
      ...inForce.rules.slice(1),
    ]);
    expect(touched).toEqual([HOT]);
  });

  it('may be JSON', () => {
    const text = JSON.stringify({ rules: [{ id: HOT, onDelayMs: 5000 }] });
    expect(rulesOf(text)[0]).toEqual(hotRule({ onDelayMs: 5000 }));
  });

  it('takes away a key of a rule by null', () => {
    const slow = { ...inForce, rules: [hotRule({ onDelayMs: 9000 })] };
    const proposed = proposedAlarms(`rules: [{ id: ${HOT}, onDelayMs: null }]`, slow);
    expect(proposed.configuration.rules).toEqual([hotRule()]);
  });

  it('adds a rule whose id is new, with a card of its own', () => {
    const text = `cards:
  hotter: { causes: [a], consequence: b, severity: severe, actions: [c], respondWithinMs: 60000 }
rules:
  - { id: a.dryer.hotter, line: a, machine: dryer, card: hotter, kind: change, subject: a.dryer.air-temperature,
      unit: degC, amount: 5, withinMs: 60000, deadband: 1 }`;
    const { configuration, touched } = proposedAlarms(text, inForce);
    expect(configuration.rules.at(-1)).toMatchObject({ id: 'a.dryer.hotter', kind: 'change' });
    expect(configuration.cards['hotter']).toMatchObject({ severity: 'severe' });
    expect(touched).toEqual(['a.dryer.hotter']);
  });

  it('leaves rules out, wherever they are spoken of', () => {
    const { configuration, touched } = proposedAlarms(`without: [a.leg.stopped, ${HOT}]`, inForce);
    expect(configuration.rules).toEqual([
      conditionRule({ id: 'a.leg.plugged', when: [{ subject: 'a.leg.plug', is: 'on' }], takes: [] }),
    ]);
    expect(configuration.suppressions).toEqual([]);
    expect(configuration.firstStop[0]?.latch?.rules).toEqual({});
    expect(touched).toEqual(['a.leg.stopped', HOT]);
  });

  it.each([
    [
      'no YAML',
      'rules: [',
      'CONFIG_SYNTAX proposal:1: got Flow sequence in block collection must be sufficiently indented and end with a ], expected YAML; mend that line; nothing was replayed',
    ],
    [
      'a key that there is not',
      'rules: []\nrulez: []',
      'CONFIG_SHAPE proposal:2 top level: got unknown key "rulez", expected only the keys that the template shows; mend it; nothing was replayed',
    ],
    [
      'a rule without an id',
      'rules:\n  - onDelayMs: 5',
      'CONFIG_SHAPE proposal:2 rules.0: got no "id", expected that key; mend it; nothing was replayed',
    ],
    [
      'a number out of range in a rule that is laid over another',
      `cards: {}\nrules:\n  - id: ${HOT}\n    onDelayMs: -5`,
      'CONFIG_RANGE proposal:4 rules.0.onDelayMs: got -5, expected >= 0; mend it; nothing was replayed',
    ],
    [
      'a misspelt key of a rule',
      `rules:\n  - id: ${HOT}\n    onDelay: 5`,
      'CONFIG_SHAPE proposal:3 rules.0: got unknown key "onDelay", expected only the keys that the template shows; mend it; nothing was replayed',
    ],
    [
      'a new rule that is not told whole',
      'rules:\n  - id: a.dryer.cold\n    kind: limit',
      'CONFIG_SHAPE proposal:2 rules.0: got no "line", "machine", "card", "subject", "unit", "limits", expected that key; mend it; nothing was replayed',
    ],
    [
      'the same rule twice',
      `rules:\n  - id: ${HOT}\n  - id: ${HOT}`,
      `CONFIG_REFERENCE proposal:2 rules: got ${HOT} twice, expected each id once; leave one out; nothing was replayed`,
    ],
    [
      'a rule to leave out that there is not',
      'rules: []\nwithout: [a.no.rule]',
      'CONFIG_REFERENCE proposal:2 without: got a.no.rule, expected the id of a rule in force; correct or remove it; nothing was replayed',
    ],
    [
      'nothing',
      '',
      'CONFIG_SHAPE proposal:1 top level: got null, expected an object; mend it; nothing was replayed',
    ],
  ])('with %s is refused with line, key, value and remedy', (_what, text, told) => {
    expect(refusalOf(text)).toBe(told);
  });

  it('that unfolds to more than anybody could have meant is refused', () => {
    const bomb = ['a: &a [x, x, x, x, x, x, x, x, x]'];
    for (const [before, name] of 'abcdefgh'.split('').map((letter, at) => [letter, 'bcdefghi'[at] ?? '']))
      bomb.push(
        `${String(name)}: &${String(name)} [${Array(9)
          .fill(`*${String(before)}`)
          .join(', ')}]`,
      );
    expect(refusalOf(bomb.join('\n'))).toMatch(
      /^CONFIG_SYNTAX proposal: got .*alias.*; write it out; nothing was replayed$/,
    );
  });
});
