import { describe, expect, it } from 'vitest';
import { NO_POINT_YET, stepPoint, type Glimpse, type PointState } from '#server/machines/step-point.ts';
import { FAN } from './machine-points.ts';

const MINUTE_MS = 60_000;

function glimpses(fromMinute: number, change: (minute: number) => Partial<Glimpse> = () => ({})): Glimpse[] {
  return Array.from({ length: 10 }, (_, i) => ({
    timeMs: (fromMinute + i) * MINUTE_MS,
    isRunning: true,
    group: 'wheat',
    values: new Map([['motor-current', 10 + i / 10]]),
    influences: new Map([['load', 12]]),
    ...change(fromMinute + i),
  }));
}

const after = (state: PointState, fromMinute: number, change?: (minute: number) => Partial<Glimpse>) =>
  stepPoint(state, glimpses(fromMinute, change), FAN);

describe('stepPoint', () => {
  it('makes a point of the middles once the machine has settled, by hand', () => {
    const [running] = after(NO_POINT_YET, 0);
    const [, point] = after(running, 10);
    expect(point?.signals.get('motor-current')).toBeCloseTo(10.45, 10);
    expect(point?.influences.get('load')).toBe(12);
  });

  it('makes none in the window of the start: the inrush is no condition to compare with', () => {
    expect(after(NO_POINT_YET, 0)[1]).toBeNull();
  });

  it('makes none when the machine stood, or nobody knows whether it ran, at one look of the window', () => {
    const [running] = after(NO_POINT_YET, 0);
    expect(after(running, 10, (minute) => ({ isRunning: minute !== 14 }))[1]).toBeNull();
    expect(after(running, 10, (minute) => ({ isRunning: minute === 14 ? null : true }))[1]).toBeNull();
  });

  it('waits again after a stop', () => {
    const [running] = after(NO_POINT_YET, 0);
    const [stopped] = after(running, 10, () => ({ isRunning: false }));
    expect(after(stopped, 20)[1]).toBeNull();
    const [again] = after(stopped, 20);
    expect(after(again, 30)[1]).not.toBeNull();
  });

  it('makes none while the crop was changed in the window', () => {
    const [running] = after(NO_POINT_YET, 0);
    expect(after(running, 10, (minute) => ({ group: minute < 15 ? 'wheat' : 'corn' }))[1]).toBeNull();
  });

  it('leaves out a signal whose readings were bad, and the point when none is left', () => {
    const [running] = after(NO_POINT_YET, 0);
    expect(after(running, 10, () => ({ values: new Map() }))[1]).toBeNull();
  });

  it('takes the machine for just started after a hole of an hour', () => {
    const [running] = after(NO_POINT_YET, 0);
    expect(after(running, 80)[1]).toBeNull();
  });

  it('remembers what the load has been: two thirds of the way to a new load after twenty minutes, by hand', () => {
    const [one] = after(NO_POINT_YET, 0);
    const [two] = after(one, 10, () => ({ influences: new Map([['load', 6]]) }));
    const [, point] = after(two, 20, () => ({ influences: new Map([['load', 6]]) }));
    expect(point?.influences.get('load-past')).toBeCloseTo(6 + 6 * Math.exp(-20 / 20), 6);
  });
});
