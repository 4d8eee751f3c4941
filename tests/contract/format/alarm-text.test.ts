import { describe, expect, it } from 'vitest';
import { UNKNOWN_REASONS } from '#server/calc/unknown-reason.ts';
import { ALARM_CODES, type AlarmMessage } from '#server/contract/alarm-message.ts';
import { alarmText } from '#server/contract/format/alarm-text.ts';
import type { Reader } from '#server/contract/format/quantity-text.ts';
import { DEFAULT_READER_UNITS } from '#server/contract/format/reader-units.ts';
import { thingNames } from '#server/contract/format/thing-names.ts';
import { unknownSentence, unknownText } from '#server/contract/format/unknown-text.ts';
import { wordsEn } from '#server/contract/format/words-en.ts';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { fakePlant, SKETCH_MACHINES } from '#tests/support/fake-line.ts';

const READER: Reader = { units: DEFAULT_READER_UNITS, bushelMassKg: 27.215_542_2, words: wordsEn };
const NAMES = thingNames(fakePlant(SKETCH_MACHINES).plant, wordsEn);
const ML_PER_FL_OZ = 29.573_529_562_5;

const text = (more: Partial<AlarmMessage>) => alarmText(fakeAlarm('a.rule', more), NAMES, READER);

describe('alarmText', () => {
  it('says by how much the dose is over its target, in the reader’s units', () => {
    const found = text({
      subject: 'a.treater.dose',
      machine: 'treater',
      code: 'above-target',
      params: {
        value: { value: 5.08 * ML_PER_FL_OZ, unit: 'mL/bu' },
        target: { value: 4.8 * ML_PER_FL_OZ, unit: 'mL/bu' },
      },
    });
    expect(found.title).toBe('Dose 5.8\u00a0% over target');
    expect(found.detail).toBe('At 5.08\u00a0fl oz/bu; target 4.80\u00a0fl oz/bu.');
  });

  it('names the machine that stopped first and those that followed', () => {
    const consequences = [
      { machine: 'sizer', delayMs: 900 },
      { machine: 'scalper', delayMs: 3100 },
    ];
    const found = text({ machine: 'destoner', code: 'stopped-first', consequences });
    expect(found.title).toBe('Destoner stopped first');
    expect(found.detail).toBe('Stopped after it, within 3.1\u00a0s: Sizer, Scalper.');
    expect(found.advice).toContain('Lock out and tag');
  });

  it('names all candidates where it cannot be told which stopped first', () => {
    const found = text({ code: 'first-stop-unclear', candidates: ['sizer', 'destoner'] });
    expect(found.title).toBe('Stopped first: Sizer or Destoner');
  });

  it('leaves out what the alarm does not carry', () => {
    expect(text({ subject: 'a.intake.motor-current', code: 'high' }).detail).toBe('');
  });

  it.each(ALARM_CODES)('has a title and an advice for %s without any parameter', (code) => {
    const found = text({ code });
    expect(found.title).not.toBe('');
    expect(found.advice).not.toBe('');
    expect(`${found.title}${found.detail}`).not.toMatch(/undefined|NaN|null/);
  });
});

describe('unknownText', () => {
  it.each(UNKNOWN_REASONS)('says %s in a few words and in a sentence', (reason) => {
    expect(unknownText(reason, wordsEn)).toMatch(/^[a-z][a-z ]{3,24}$/);
    expect(unknownSentence(reason, wordsEn)).toMatch(/^[A-Z].+[.?]$/);
  });
});

describe('thingNames', () => {
  it('names a figure by its kind and window', () => {
    expect(NAMES.subject('a.line.yield')).toBe('Yield, this lot');
    expect(NAMES.subject('a.line.feed-rate')).toBe('Feed rate');
  });

  it('says of what a share is', () => {
    expect(NAMES.subject('a.gravity-table.reject-share')).toBe('Gravity table lights, share of line feed');
    expect(NAMES.subject('a.gravity-table.reject-ratio')).toBe(
      'Gravity table lights, share of Gravity table feed',
    );
  });

  it('names a product by its own name', () => {
    expect(NAMES.subject('a.treater.product-dose-1')).toBe('Coat A dose');
  });

  it('gives back an id that it does not know', () => {
    expect(NAMES.subject('a.nowhere.x')).toBe('a.nowhere.x');
    expect(NAMES.machine('nowhere')).toBe('nowhere');
  });
});
