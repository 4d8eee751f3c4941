import { describe, expect, it } from 'vitest';
import { shiftAt } from '#server/pipeline/shift-at.ts';

const SHIFTS = [
  { name: 'Early', startsMinute: 6 * 60 },
  { name: 'Late', startsMinute: 14 * 60 },
  { name: 'Night', startsMinute: 22 * 60 },
];
const at = (text: string, zone: string) => shiftAt(SHIFTS, zone, Date.parse(text));

describe('shiftAt', () => {
  it('is the night shift of the day before at 05:59 in the plant', () => {
    expect(at('2026-06-10T05:59:00-05:00', 'America/Chicago')).toEqual({
      name: 'Night',
      startedMs: Date.parse('2026-06-09T22:00:00-05:00'),
    });
  });

  it('changes exactly at the start of a shift', () => {
    expect(at('2026-06-10T06:00:00-05:00', 'America/Chicago')?.name).toBe('Early');
  });

  // Both changes of 2026 in two zones; the dates are from the IANA time zone database.
  it.each([
    {
      zone: 'America/Chicago',
      end: '2026-03-08T06:00:00-05:00',
      start: '2026-03-07T22:00:00-06:00',
      hours: 7,
    },
    {
      zone: 'America/Chicago',
      end: '2026-11-01T06:00:00-06:00',
      start: '2026-10-31T22:00:00-05:00',
      hours: 9,
    },
    { zone: 'Europe/Berlin', end: '2026-03-29T06:00:00+02:00', start: '2026-03-28T22:00:00+01:00', hours: 7 },
    { zone: 'Europe/Berlin', end: '2026-10-25T06:00:00+01:00', start: '2026-10-24T22:00:00+02:00', hours: 9 },
  ])(
    'gives the night over the change of clocks of $end in $zone its true length',
    ({ zone, end, start, hours }) => {
      const night = shiftAt(SHIFTS, zone, Date.parse(end) - 1);
      expect(night).toEqual({ name: 'Night', startedMs: Date.parse(start) });
      expect((Date.parse(end) - (night?.startedMs ?? 0)) / 3_600_000).toBe(hours);
      expect(shiftAt(SHIFTS, zone, Date.parse(end))?.name).toBe('Early');
    },
  );

  // The clock of Chicago goes from 02:00 to 03:00 on 8 March 2026 and from 02:00 back to 01:00 on 1 November.
  const small = [{ name: 'Small hours', startsMinute: 150 }, ...SHIFTS];
  const within = (text: string) => shiftAt(small, 'America/Chicago', Date.parse(text));

  it('starts at a wall time that the clock skips once it has skipped it', () => {
    expect(within('2026-03-08T01:59:59-06:00')?.name).toBe('Night');
    expect(within('2026-03-08T03:00:00-05:00')).toEqual({
      name: 'Small hours',
      startedMs: Date.parse('2026-03-08T03:00:00-05:00'),
    });
  });

  it('starts once at a wall time that the clock shows twice', () => {
    const twice = [{ name: 'Small hours', startsMinute: 90 }, ...SHIFTS];
    const startedMs = Date.parse('2026-11-01T01:30:00-05:00');
    for (const text of ['2026-11-01T01:30:00-05:00', '2026-11-01T01:30:00-06:00']) {
      expect(shiftAt(twice, 'America/Chicago', Date.parse(text))).toEqual({ name: 'Small hours', startedMs });
    }
  });

  it('is null where a plant has no shifts', () => {
    expect(shiftAt([], 'Etc/UTC', 0)).toBeNull();
  });
});
