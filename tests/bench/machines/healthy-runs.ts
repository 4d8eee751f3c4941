import { HEALTHY_DAYS } from './declines.ts';
import { WIDTHS } from './fixed-limits.ts';
import { HEALTHY_MS, playLife, type Demos } from './play-life.ts';

/** What was found on machines that were well all the time: every one of it is false. */
export interface HealthyRuns {
  readonly hours: number;
  readonly everything: number;
  readonly currentHours: number;
  readonly oneCurrent: number;
  readonly byHand: number;
  /** Notices of the fixed limits, by width. */
  readonly fixed: readonly number[];
}

const NONE: HealthyRuns = {
  hours: 0,
  everything: 0,
  currentHours: 0,
  oneCurrent: 0,
  byHand: 0,
  fixed: WIDTHS.map(() => 0),
};

/** Crops, ambient, voltage and load vary all the time; nothing wears. */
export function healthyRuns(seeds: readonly number[], watchedDays: number, demos: Demos): HealthyRuns {
  return seeds.reduce((sum, seed) => {
    const life = playLife({ seed, days: HEALTHY_DAYS + watchedDays, declines: [] }, demos);
    const machines = demos.everything.machines.map(({ plan }) => plan.machine);
    const opened = (openings: (machine: string) => readonly number[]) =>
      machines.reduce((count, machine) => count + openings(machine).length, 0);
    return {
      hours: sum.hours + life.everything.watchedHours(),
      everything: sum.everything + opened(life.everything.openings),
      currentHours: sum.currentHours + life.oneCurrent.watchedHours(),
      oneCurrent: sum.oneCurrent + opened(life.oneCurrent.openings),
      byHand:
        sum.byHand + machines.filter((machine) => life.byHand.foundMs(machine, HEALTHY_MS) !== null).length,
      fixed: sum.fixed.map((count, index) => count + life.fixed.countOpenings(WIDTHS[index] ?? 0)),
    };
  }, NONE);
}

/** The narrowest fixed limit that makes no more false notices than a count. */
export function widthFor({ fixed }: HealthyRuns, countMax: number): number {
  const index = fixed.findIndex((count) => count <= countMax);
  return WIDTHS[index] ?? WIDTHS.at(-1) ?? 0;
}

/** A thousand hours of one machine. */
export function per1000h(count: number, hours: number): number {
  return (1000 * count) / hours;
}
