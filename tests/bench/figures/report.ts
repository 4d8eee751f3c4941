import { cpus, totalmem } from 'node:os';
import type { CoverageRow } from './coverage-rows.ts';
import type { Answer } from './jobs.ts';
import { FULL, type Sizes } from './sizes.ts';
import {
  answersOf,
  coverageSummary,
  lotSummary,
  namingSummary,
  stepSummary,
  type Largest,
  type LotSummary,
} from './summary.ts';
import type { TickCost } from './tick-cost.ts';

export interface Measured {
  readonly sizes: Sizes;
  readonly answers: readonly Answer[];
  readonly costs: readonly TickCost[];
  readonly cache: 'warm' | 'cold';
  readonly tookS: number;
}

const NOT_MEASURED = 'not measured';

/** The table, what is wanted beside what was found, and the chosen figures of it as one line of JSON. */
export function sayReport(measured: Measured): void {
  sayConditions(measured);
  sayLots(measured);
  saySteps(measured);
  sayCoverage(coverageSummary(measured.answers));
  sayNamings(measured);
  sayLags(measured);
  sayCosts(measured);
  console.log(
    `took ${measured.tookS.toFixed(0)} s with a ${measured.cache} cache (wanted: cold 900, warm 180)`,
  );
  console.log(JSON.stringify(chosenFigures(measured)));
}

function sayConditions({ sizes }: Measured): void {
  const [cpu] = cpus();
  const memoryGib = Math.round(totalmem() / 2 ** 30);
  console.log(
    `${cpu?.model ?? 'unknown'}, ${cpus().length} cores, ${memoryGib} GiB, Node ${process.version}`,
  );
  console.log(
    `${sizes.lots} lots of 8 h, soybean, wheat and corn in turn; instruments of the simulator: each has a fixed span error`,
  );
  console.log(
    'drawn from a normal distribution (belt scales 0.12 %, reject scales 0.25, pumps 0.2, tanks 0.04) and scatter of its own',
  );
  console.log(
    'truth: what flowed, each feed aged by the mass-weighted transit; oracle: plain quotient with the true lag',
  );
}

function sayLots({ answers, sizes }: Measured): void {
  const rows = [
    lotSummary(answers, { profile: 'full', isPerfect: true, lots: sizes.lots }),
    lotSummary(answers, { profile: 'full', isPerfect: false, lots: sizes.lots }),
    ...(['typical', 'poor'] as const).flatMap((profile) => [
      lotSummary(answers, { profile, isPerfect: true, lots: sizes.poorer }),
      lotSummary(answers, { profile, isPerfect: false, lots: sizes.poorer }),
    ]),
  ];
  console.log(
    '\nlots: largest errors (wanted, full: perfect 0.1 points, 0.3 %; drawn 0.1 points, 0.3 % beyond the oracle)',
  );
  console.table(Object.fromEntries(rows.map((row) => [lotName(row), lotRow(row)])));
  console.log(
    'typical: one scale weighs all liquids, none of them alone; products by the recipe, seed by the clean scale',
  );
  console.log(
    'poor: only intake and bags are weighed; liquid is known by plan at best, and drying and bins stay in a yield, if there is one',
  );
}

function lotName({ profile, isPerfect }: LotSummary): string {
  return `${profile}, ${isPerfect ? 'perfect' : 'drawn'} instruments`;
}

function lotRow(row: LotSummary) {
  return {
    'yield, points': said(row.yield),
    oracle: rounded(row.yieldOracle),
    'yield beyond': said(row.yieldBeyondOracle),
    'dose, %': said(row.dose),
    'dose oracle': rounded(row.doseOracle),
    'dose beyond': said(row.doseBeyondOracle),
  };
}

function saySteps({ answers }: Measured): void {
  console.log(
    '\nten-minute yield through start-up, steps of 30 % and run-out: largest errors, points (wanted: 1.0)',
  );
  const rows = [true, false].map((isPerfect) => {
    const { yield: own, beyondOracle, oracle, unlagged, knownRatioMin } = stepSummary(answers, isPerfect);
    const row = {
      line: said(own),
      'beyond oracle': said(beyondOracle),
      oracle: rounded(oracle),
      unlagged: rounded(unlagged),
      'known at least': rounded(knownRatioMin),
    };
    return [isPerfect ? 'perfect instruments' : 'drawn instruments', row] as const;
  });
  console.table(Object.fromEntries(rows));
}

function sayCoverage(rows: readonly CoverageRow[]): void {
  console.log('\nstated 95 % intervals: how often they hold the truth (wanted: 0.918 to 0.98)');
  if (rows.length === 0) console.log(`${NOT_MEASURED}: no figure states its uncertainty`);
  const table = rows.map((row) => [
    row.what,
    {
      cases: row.cases,
      covered: rounded(row.coveredRatio),
      'median half-width, %': rounded(row.medianWidthRatio * 100),
    },
  ]);
  console.table(Object.fromEntries(table));
}

function sayNamings({ answers }: Measured): void {
  const { named, drifts, byScale, minutesMost, falseNamings, shifts, imbalanceMinutes } =
    namingSummary(answers);
  console.log('\na step of 2 % of the span of one scale, named within 30 min (wanted: 38 of 40)');
  console.log(`${named} of ${drifts}, the last after ${rounded(minutesMost) ?? '-'} min`);
  console.table(Object.fromEntries(byScale));
  console.log(
    `${falseNamings ?? NOT_MEASURED} false namings in ${shifts} shifts of 8 h in which all instruments were well (wanted: at most 1 in 40)`,
  );
  console.log(`${imbalanceMinutes} minutes of them with an imbalance that names nobody`);
}

function sayLags({ answers }: Measured): void {
  const cases = answersOf(answers, 'lag').flatMap(({ result }) => result);
  const share = (count: number) => rounded(count / cases.length);
  console.log('\nlag from readings, where the feed changed three times in two hours (wanted: 0.8 near)');
  console.log(
    `${cases.length} streams: ${share(cases.filter(({ isNear }) => isNear).length)} within 10 % or 5 s, ` +
      `${share(cases.filter(({ isKnown, isNear }) => isKnown && !isNear).length)} told and wrong, ` +
      `${share(cases.filter(({ isKnown }) => !isKnown).length)} not known yet`,
  );
}

function sayCosts({ costs }: Measured): void {
  console.log(
    '\na tick of 250 ms: frames and all figures, ms (wanted: median 0.3 for 300 tags, 4 for 3,000)',
  );
  const table = costs.map(({ tags, medianMs, medianCpuMs, meanMs, p95Ms }) => [
    `${tags} tags`,
    {
      median: rounded(medianMs),
      'median, processor': rounded(medianCpuMs),
      mean: rounded(meanMs),
      'p 95': rounded(p95Ms),
    },
  ]);
  console.table(Object.fromEntries(table));
}

/** What was not measured in full is null: a part of it says nothing of the whole. */
function chosenFigures({ answers, sizes, costs }: Measured) {
  const isFull = sizes === FULL;
  const whole = (value: number | null) => (isFull ? rounded(value) : null);
  const perfect = lotSummary(answers, { profile: 'full', isPerfect: true, lots: sizes.lots });
  const drawn = lotSummary(answers, { profile: 'full', isPerfect: false, lots: sizes.lots });
  const covered = coverageSummary(answers).map(({ coveredRatio }) => coveredRatio);
  const namings = namingSummary(answers);
  const hasBalance = namings.falseNamings !== null;
  const tickMs = (index: number) => rounded(costs[index]?.medianMs ?? null);
  return {
    yieldBeyondOraclePointsMax: whole(drawn.yieldBeyondOracle.most),
    yieldPerfectErrorPointsMax: whole(perfect.yield.most),
    yieldStepErrorPointsMax: whole(stepSummary(answers, true).yield.most),
    doseBeyondOraclePercentMax: whole(drawn.doseBeyondOracle.most),
    coverageMin: covered.length === 0 ? null : whole(Math.min(...covered)),
    coverageMax: covered.length === 0 ? null : whole(Math.max(...covered)),
    driftNamedOf40: hasBalance ? whole(namings.named) : null,
    falseNamingsOf40: whole(namings.falseNamings),
    tickMs300: tickMs(0),
    tickMs3000: tickMs(1),
    tickMs30000: tickMs(2),
  };
}

function said({ most, known, of }: Largest): string {
  if (most === null) return NOT_MEASURED;
  return `${rounded(most) ?? ''}${known === of ? '' : ` (${known} of ${of})`}`;
}

function rounded(value: number | null): number | null {
  return value === null ? null : Number(value.toPrecision(4));
}
