import { CHART_USES, type ChartUse } from './chart-study.ts';
import type { FirstStops } from './first-stops.ts';
import type { TickTimes } from './many-rules.ts';
import type { RunResult } from './play-run.ts';
import type { RunLength } from './run-lengths.ts';
import { say, sayTable } from './say.ts';
import type { StormKills } from './storm-kill.ts';
import { atShare, medianOf, ratioOf, type KindOutcome } from './upset-outcomes.ts';

export function sayFirstStops(stops: readonly FirstStops[]): void {
  sayTable(
    ['first stop of seeded cascades', 'of', 'right', 'among candidates', 'wrong single', 'missed'],
    stops.map(({ setting, cascades, right, among, wrongSingle, missed }) => [
      setting,
      ...[cascades, right, among, wrongSingle, missed].map(String),
    ]),
  );
}

export function sayTicks({ medianMs, p95Ms, slowestMs, cpuMs, transitions }: TickTimes): void {
  say();
  say(
    `10,000 rules, each with a new value each tick: median ${medianMs.toFixed(1)} ms, 95th percentile ${p95Ms.toFixed(1)} ms, ` +
      `slowest ${slowestMs.toFixed(1)} ms (wanted: under 50); own processor time ${cpuMs.toFixed(1)} ms; ${transitions} transitions`,
  );
}

export function sayKills({ kills, durable, lost, torn }: StormKills): void {
  say(`${kills} kills in a storm: ${durable} transitions told durable, ${lost} lost, ${torn} ticks torn`);
}

const USE_NAMES: Readonly<Record<ChartUse, string>> = {
  'textbook-every-second': 'EWMA 0.2 / 2.962 every second, likeness ignored',
  'widened-every-second': 'the same, limits widened by the likeness of neighbours',
  'as-in-the-rules': 'the rules of alarms.yaml as they stand',
};

export function sayCharts(lengths: readonly RunLength[], clean: readonly RunResult[], runs: number): void {
  sayTable(
    [`average run length, ${runs} runs, independent`, 'shift', 'printed', 'reached', 'off by'],
    lengths.map(({ name, shift, printed, reached }) => [
      name,
      String(shift),
      String(printed),
      reached.toFixed(2),
      `${(100 * (reached / printed - 1)).toFixed(1)} %`,
    ]),
  );
  sayTable(
    ["in control on the simulator's figures, all drift rules", 'samples', 'signals', 'samples a signal'],
    CHART_USES.map((use) => {
      const samples = clean.reduce((sum, { charts }) => sum + (charts?.[use].samples ?? 0), 0);
      const signals = clean.reduce((sum, { charts }) => sum + (charts?.[use].signals ?? 0), 0);
      return [
        USE_NAMES[use],
        String(samples),
        String(signals),
        signals === 0 ? `more than ${samples}` : (samples / signals).toFixed(0),
      ];
    }),
  );
}

export function sayOutcomes(outcomes: readonly KindOutcome[]): void {
  const row = (name: string, delays: KindOutcome['delays']) => [
    name,
    ...spread(delays.map(({ ours }) => ours)),
    ...spread(delays.map(({ fixed }) => fixed['starting-values'])),
    ...spread(delays.map(({ fixed }) => fixed.none)),
    medianOf(delays.map((delay) => ratioOf(delay, 'starting-values'))).toFixed(2),
    medianOf(delays.map((delay) => ratioOf(delay, 'none'))).toFixed(2),
  ];
  const columns = ['ours', 'fixed', 'fixed, no delay'].flatMap((name) => [name, '95 %']);
  sayTable(
    ['seconds to the first relevant alarm: median', ...columns, 'ratio', 'ratio, no delay'],
    [
      ...outcomes.map(({ kind, delays }) => row(kind, delays)),
      row(
        'all',
        outcomes.flatMap(({ delays }) => delays),
      ),
    ],
  );
  say(
    'Of two runs of a kind the first is of full size, the second mild; a dash is no alarm within 40 minutes.',
  );
}

/** The rates of all three, and which of ours spoke. */
export function sayRates(
  rates: Readonly<Record<'ours' | 'starting-values' | 'none', number>>,
  clean: readonly RunResult[],
): void {
  say();
  say(
    `annunciations in clean runs, per 8 h: ours ${rates.ours.toFixed(2)} (wanted: at most 1), ` +
      `fixed ${rates['starting-values'].toFixed(2)}, fixed without on-delays ${rates.none.toFixed(2)}`,
  );
  const counts = new Map<string, number>();
  for (const { alarm } of clean.flatMap(({ ours }) => ours)) counts.set(alarm, (counts.get(alarm) ?? 0) + 1);
  const listed = [...counts].map(([alarm, count]) => `${alarm} ${count}`).join(', ');
  say(`ours in clean runs: ${listed === '' ? 'none' : listed}`);
}

function spread(values: readonly (number | null)[]): readonly string[] {
  return [0.5, 0.95].map((share) => atShare(values, share)?.toFixed(0) ?? '-');
}
