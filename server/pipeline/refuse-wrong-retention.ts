import type { PlantConfig } from '../config/plant-config.ts';
import { Fault, type FaultParts } from '../contract/faults.ts';
import type { FigureDescription } from '../contract/figure-message.ts';

const DAY_MS = 86_400_000;

/**
 * Refuses classes of retention that would not do what they seem to say, before a day is dropped by the wrong one:
 * a misspelt beginning fits nothing, and its tags would silently fall to the next class.
 *
 * @throws Fault CONFIG_REFERENCE or CONFIG_RANGE
 */
export function refuseWrongRetention(config: PlantConfig, figures: readonly FigureDescription[]): void {
  const names = [...config.tags, ...figures].map(({ id }) => id);
  const { classes } = config.retention;
  for (const [index, { nameStartsWith, keepRawMs, keepRollupsMs }] of classes.entries()) {
    const subject = `retention.classes.${index}`;
    if (nameStartsWith !== undefined && !names.some((name) => name.startsWith(nameStartsWith))) {
      throw new Fault('CONFIG_REFERENCE', beginsNothing(subject, nameStartsWith));
    }
    if (keepRollupsMs !== null && keepRollupsMs < (keepRawMs ?? Infinity)) {
      throw new Fault('CONFIG_RANGE', tooShort(subject, keepRollupsMs, keepRawMs));
    }
  }
}

function beginsNothing(subject: string, got: string): FaultParts {
  const expected = 'the beginning of the id of a tag or figure';
  return {
    subject: `${subject}.startsWith`,
    got,
    expected,
    remedy: 'correct it or remove the class; server not started',
  };
}

function tooShort(subject: string, rollupsMs: number, samplesMs: number | null): FaultParts {
  const limit = samplesMs === null ? 'left out, as samplesDays is' : `>= samplesDays, ${samplesMs / DAY_MS}`;
  return {
    subject: `${subject}.rollupsDays`,
    got: rollupsMs / DAY_MS,
    expected: limit,
    remedy: 'keep rollups at least as long as the samples they are of; server not started',
  };
}
