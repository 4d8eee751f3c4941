import { medianOf } from '#server/calc/statistics/median-of.ts';
import { per1000h, type HealthyRuns } from './healthy-runs.ts';
import type { Detection, JudgedCase } from './judged-case.ts';
import type { Learning } from './learn-apart.ts';
import { wilson } from './wilson.ts';

export interface Results {
  readonly cases: readonly JudgedCase[];
  readonly healthy: HealthyRuns;
  readonly tuning: HealthyRuns;
  readonly fixedWidth: number;
  readonly learning: Learning;
  readonly hardware: string;
  readonly seconds: number;
}

const DAY_MS = 86_400_000;

/** The tables, and the figures as one JSON object in the last line. */
export function report(results: Results): void {
  say('hardware', results.hardware);
  kindTable(results.cases);
  setTable(results);
  falseTable(results);
  forecastTable(results.cases);
  const { machines, days, seconds, waitedMsMax } = results.learning;
  say(
    'learning',
    `${machines} machines x ${days} days in ${seconds.toFixed(1)} s (wanted: 100 x 30 in under 60 s)`,
  );
  say('waited for it beside', `at most ${waitedMsMax.toFixed(0)} ms (a tick is 250 ms)`);
  say('whole bench', `${(results.seconds / 60).toFixed(1)} min`);
  process.stdout.write(`${JSON.stringify(figures(results))}\n`);
}

function kindTable(cases: readonly JudgedCase[]): void {
  row([
    'upset',
    'cases',
    'found',
    'delay d',
    'lead d',
    'cause at once',
    'next day',
    'fixed found',
    'its delay d',
  ]);
  for (const kind of [...new Set(cases.map((own) => own.kind))].sort()) {
    const own = cases.filter((one) => one.kind === kind);
    row([kind, ...kindCells(own)]);
  }
  row(['all', ...kindCells(cases)]);
}

function kindCells(cases: readonly JudgedCase[]): readonly string[] {
  const seen = cases.map(({ everything }) => everything);
  const fixed = cases.map(({ fixedDelayMs }) => fixedDelayMs);
  return [
    String(cases.length),
    share(found(seen), cases.length),
    days(seen.map(({ delayMs }) => delayMs)),
    days(seen.map(({ leadMs }) => leadMs)),
    share(count(seen, 'isRightAtOnce'), cases.length),
    share(count(seen, 'isRightNextDay'), cases.length),
    share(fixed.filter((delay) => delay !== null).length, cases.length),
    days(fixed),
  ];
}

/** What a plant with fewer sensors gets of it. */
function setTable({ cases, healthy }: Results): void {
  row(['sensors', 'found', '95 %', 'delay d', 'cause next day', '95 %', 'false a 1000 h']);
  const sets: readonly (readonly [string, readonly Detection[], string])[] = [
    ['everything', cases.map((own) => own.everything), rate(healthy.everything, healthy.hours)],
    [
      'contact, one current',
      cases.map((own) => own.oneCurrent),
      rate(healthy.oneCurrent, healthy.currentHours),
    ],
    ['vibration by hand', cases.map((own) => own.byHand), rate(healthy.byHand, healthy.hours)],
  ];
  for (const [name, seen, falseRate] of sets) {
    const [hits, right] = [found(seen), count(seen, 'isRightNextDay')];
    row([
      name,
      share(hits, seen.length),
      interval(hits, seen.length),
      days(seen.map(({ delayMs }) => delayMs)),
      share(right, seen.length),
      interval(right, seen.length),
      falseRate,
    ]);
  }
  const bearings = cases.filter(({ kind }) => kind === 'fan-bearing-wear').map(({ byHand }) => byHand);
  say('by hand, of bearings alone', `${share(found(bearings), bearings.length)} found`);
}

function falseTable({ healthy, tuning, fixedWidth }: Results): void {
  const fixed = healthy.fixed[Math.round((fixedWidth - 2) / 0.25)] ?? 0;
  say('watched while all was well', `${healthy.hours.toFixed(0)} machine-hours`);
  say(
    'false findings',
    `${healthy.everything}: ${rate(healthy.everything, healthy.hours)} a 1000 h (wanted: at most 1)`,
  );
  say(
    'fixed limit beside it',
    `${fixedWidth} deviations, tuned to ${tuning.everything} false in ${tuning.hours.toFixed(0)} h; here ${fixed}: ${rate(fixed, healthy.hours)} a 1000 h`,
  );
}

function forecastTable(cases: readonly JudgedCase[]): void {
  const forecasts = cases.flatMap((own) => own.forecasts);
  const widths = forecasts.map(({ widthMs }) => widthMs ?? Infinity);
  const shares = forecasts.map(({ widthMs, leftMs }) => (widthMs ?? Infinity) / leftMs);
  say(
    'time to limit, last half of life',
    `${forecasts.length} forecasts, ${percent(coverage(forecasts))} hold the truth (wanted: 80 to 97 %)`,
  );
  if (forecasts.length === 0) return;
  say(
    'width of the range, median',
    `${(medianOf(widths) / DAY_MS).toFixed(1)} d, ${medianOf(shares).toFixed(2)} of what is left (wanted: at most 1)`,
  );
  for (const kind of [...new Set(cases.map((own) => own.kind))].sort()) {
    const own = cases.filter((one) => one.kind === kind).flatMap((one) => one.forecasts);
    if (own.length === 0) continue;
    const left = own.map(({ widthMs, leftMs }) => (widthMs ?? Infinity) / leftMs);
    say(
      `  ${kind}`,
      `${own.length} forecasts, ${percent(coverage(own))}, width ${medianOf(left).toFixed(2)} of what is left`,
    );
  }
}

function figures({
  cases,
  healthy,
  learning,
  fixedWidth,
  seconds,
}: Results): Readonly<Record<string, number | null>> {
  const seen = cases.map(({ everything }) => everything);
  const forecasts = cases.flatMap((own) => own.forecasts);
  const fixed = cases.filter(({ fixedDelayMs }) => fixedDelayMs !== null).length;
  const isWhole = learning.machines === 100 && learning.days === 30;
  return {
    cases: cases.length,
    detectedPercent: rounded((100 * found(seen)) / cases.length),
    causeRightPercent: rounded((100 * count(seen, 'isRightNextDay')) / cases.length),
    causeRightAtOncePercent: rounded((100 * count(seen, 'isRightAtOnce')) / cases.length),
    falsePer1000h: rounded(per1000h(healthy.everything, healthy.hours)),
    limitCoveragePercent: forecasts.length === 0 ? null : rounded(100 * coverage(forecasts)),
    fixedDetectedPercent: rounded((100 * fixed) / cases.length),
    kindsSlowerThanFixed: slowerKinds(cases),
    fixedWidthDeviations: fixedWidth,
    learnWaitedMsMax: rounded(learning.waitedMsMax),
    learn100Seconds: isWhole ? rounded(learning.seconds) : null,
    benchMinutes: rounded(seconds / 60),
  };
}

/** In how many kinds the median delay is longer than that of the fixed limit; never found counts as for ever. */
function slowerKinds(cases: readonly JudgedCase[]): number {
  return [...new Set(cases.map(({ kind }) => kind))].filter((kind) => {
    const own = cases.filter((one) => one.kind === kind);
    const ours = medianOf(own.map(({ everything }) => everything.delayMs ?? Number.MAX_VALUE));
    return ours > medianOf(own.map(({ fixedDelayMs }) => fixedDelayMs ?? Number.MAX_VALUE));
  }).length;
}

function found(seen: readonly Detection[]): number {
  return seen.filter(({ delayMs }) => delayMs !== null).length;
}

function count(seen: readonly Detection[], key: 'isRightAtOnce' | 'isRightNextDay'): number {
  return seen.filter((own) => own[key]).length;
}

function coverage(forecasts: readonly { readonly isWithin: boolean }[]): number {
  return forecasts.filter(({ isWithin }) => isWithin).length / forecasts.length;
}

/** The median in days; those never found count as for ever. */
function days(delays: readonly (number | null)[]): string {
  if (delays.length === 0) return '-';
  const middle = medianOf(delays.map((delay) => delay ?? Number.MAX_VALUE));
  return middle >= Number.MAX_VALUE / 4 ? 'never' : (middle / DAY_MS).toFixed(1);
}

function share(hits: number, tries: number): string {
  return tries === 0 ? '-' : percent(hits / tries);
}

function interval(hits: number, tries: number): string {
  const { low, high } = wilson(hits, tries);
  return `${percent(low)} - ${percent(high)}`;
}

function rate(events: number, hours: number): string {
  return per1000h(events, hours).toFixed(2);
}

function percent(ratio: number): string {
  return `${(100 * ratio).toFixed(0)} %`;
}

function rounded(value: number): number {
  return Math.round(value * 100) / 100;
}

function row(cells: readonly string[]): void {
  process.stdout.write(`${cells.map((cell, i) => cell.padEnd(i === 0 ? 24 : 15)).join('')}\n`);
}

function say(what: string, value: string): void {
  process.stdout.write(`${what.padEnd(34)}${value}\n`);
}
