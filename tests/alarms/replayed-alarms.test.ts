import { describe, expect, it } from 'vitest';
import type { Reading } from '#server/contract/reading.ts';
import { replayedAlarms } from '#server/alarms/replayed-alarms.ts';
import { alarmRig } from './alarm-rig.ts';
import { configurationOf, HOT, hotRule, TEMPERATURE } from './rules.ts';

/** A temperature that swings between 60 and 100 every two minutes. */
const readings: readonly Reading[] = Array.from({ length: 1200 }, (_, at) => ({
  tag: TEMPERATURE,
  sourceTimeMs: at * 1000 + 1,
  arrivalMs: at * 1000 + 1,
  value: 80 + 20 * Math.sin((2 * Math.PI * at) / 120),
  quality: 'good',
}));

function* ticks() {
  const latest = new Map<string, Reading>();
  for (let endMs = 250; endMs <= 1_200_000; endMs += 250) {
    const inFrame = readings.filter(
      ({ sourceTimeMs }) => sourceTimeMs > endMs - 250 && sourceTimeMs <= endMs,
    );
    for (const reading of inFrame) latest.set(reading.tag, reading);
    yield { frame: { endMs, tickMs: 250, readings: inFrame, latest: new Map(latest) }, figures: new Map() };
  }
}

const high = (limit: number) => hotRule({ limits: [{ side: 'high', limit, deadband: 5 }] });

describe('replayedAlarms', () => {
  it('journals what live would have journalled, when nobody acknowledges', () => {
    const rig = alarmRig([high(90)]);
    for (const { tag, sourceTimeMs, value } of readings) rig.read(tag, sourceTimeMs, value);
    rig.run(1_200_000);
    expect(replayedAlarms(configurationOf([high(90)]), [], ticks()).transitions).toEqual(rig.journal);
  });

  it('says what a limit would have cost: ten annunciations at 90, none at 101', () => {
    expect(replayedAlarms(configurationOf([high(90)]), [], ticks()).counts).toEqual([
      { alarm: HOT, count: 10 },
    ]);
    expect(replayedAlarms(configurationOf([high(101)]), [], ticks()).counts).toEqual([]);
  });

  it('says what a delay would have spared', () => {
    const patient = { ...high(90), onDelayMs: 45_000 };
    expect(replayedAlarms(configurationOf([patient]), [], ticks()).annunciations).toEqual([]);
  });
});
