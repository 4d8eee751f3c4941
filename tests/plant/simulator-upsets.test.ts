import { describe, expect, it } from 'vitest';
import { readUpsets } from '#simulator/upsets/upset-file.ts';
import { MACHINE_UPSETS } from '#tests/simulator/expected-machine-upsets.ts';
import { OTHER_UPSETS } from '#tests/simulator/expected-other-upsets.ts';
import { pairRun } from '#tests/simulator/pair-run.ts';

const EXPECTED = [...MACHINE_UPSETS, ...OTHER_UPSETS];

describe('upsets', () => {
  it('has an expectation for every file in config/upsets', () => {
    expect(EXPECTED.map(({ upset }) => upset).sort()).toEqual([...readUpsets().keys()].sort());
  });

  it.each(EXPECTED)('$upset shows its own symptom and touches nothing that it could not', (expected) => {
    const run = pairRun(expected.upset, expected.seconds, expected.crop);
    expect(run.touched.filter((node) => !expected.mayTouch(node))).toEqual([]);
    expected.shows(run);
  });
});
