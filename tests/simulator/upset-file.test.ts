import { describe, expect, it } from 'vitest';
import { parseUpset } from '#simulator/upsets/upset-file.ts';
import { sizeAt } from '#simulator/upsets/upset-player.ts';

const good = `
title: Wet lot
about: It rained.
changes:
  - { lever: wet-lot, afterS: 10, rampS: 100, size: 0.03, lastsS: 500 }
`;

const remedy = '; correct the file in config/upsets';

describe('parseUpset', () => {
  it('reads a file', () => {
    expect(parseUpset('wet-lot.yaml', good)).toMatchObject({
      name: 'wet-lot',
      title: 'Wet lot',
      changes: [
        { lever: 'wet-lot', target: '', afterS: 10, rampS: 100, size: 0.03, lastsS: 500, flutter: 0 },
      ],
    });
  });

  it.each([
    [
      'wet-lot,',
      'dry-lot,',
      'SIM_UPSET_FILE a.yaml changes[0].lever: got dry-lot, expected one of machine-stop,',
    ],
    [
      'size: 0.03',
      'size: 0',
      `SIM_UPSET_FILE a.yaml changes[0].size: got 0, expected a number that is not 0${remedy}`,
    ],
    [
      'afterS: 10',
      'afterS: -1',
      'SIM_UPSET_FILE a.yaml changes[0].afterS [s]: got -1, expected a number >= 0',
    ],
    [
      'afterS',
      'after',
      'SIM_UPSET_FILE a.yaml changes[0].after: got an unknown key, expected lever, target,',
    ],
    [
      'wet-lot,',
      'wet-lot, target: Sizer,',
      'SIM_UPSET_FILE a.yaml changes[0].target: got Sizer, expected one of',
    ],
    ['title: Wet lot', '', `SIM_UPSET_FILE a.yaml title: got nothing, expected some text${remedy}`],
    [
      'changes:',
      'change:',
      'SIM_UPSET_FILE a.yaml changes: got nothing, expected a list with at least one change',
    ],
    ['title: Wet lot', 'title: [', 'SIM_UPSET_FILE a.yaml: got '],
  ])('refuses %s -> %s by name and value', (from, to, message) => {
    expect(() => parseUpset('a.yaml', good.replace(from, to))).toThrow(message);
  });
});

describe('sizeAt', () => {
  const change = {
    lever: 'wet-lot',
    target: '',
    afterS: 10,
    rampS: 100,
    size: 0.03,
    flutter: 0,
    lastsS: 500,
  };

  it('is nothing before its onset, half at half its ramp, whole after it, and gone when it is over', () => {
    expect(sizeAt(change, 9.9)).toBe(0);
    expect(sizeAt(change, 60)).toBeCloseTo(0.015, 12);
    expect(sizeAt(change, 200)).toBe(0.03);
    expect(sizeAt(change, 510)).toBe(0);
  });

  it('is whole at once without a ramp, and stays when nothing ends it', () => {
    expect(sizeAt({ ...change, rampS: 0, lastsS: undefined }, 10)).toBe(0.03);
    expect(sizeAt({ ...change, rampS: 0, lastsS: undefined }, 1e6)).toBe(0.03);
  });
});
