import { parse } from 'yaml';
import { describe, expect, it } from 'vitest';
import { proposalFor } from '#client/views/alarms/rule-yaml.ts';
import { FAKE_CATALOGUE } from '#tests/support/fake-alarm-studies.ts';

describe('proposalFor', () => {
  it.each(FAKE_CATALOGUE.rules.map(({ rule }) => rule))('says of $id what the rule says', (rule) => {
    const { rules } = parse(proposalFor(rule)) as { rules: object[] };
    const fixed = ['kind', 'line', 'machine', 'subject', 'card'];
    const tried = Object.fromEntries(Object.entries(rule).filter(([key]) => !fixed.includes(key)));
    expect(rules).toEqual([tried]);
  });

  it('keeps texts that YAML would take for something else', () => {
    const odd = {
      id: 'a.b.c',
      code: 'on',
      reason: 'wet: yes',
      unit: '1',
      list: [{ above: -1.5, is: 'off' }],
    };
    expect(parse(proposalFor(odd), { version: '1.1' })).toEqual({ rules: [odd] });
  });
});
