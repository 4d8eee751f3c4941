import { writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface SyntheticPlan {
  readonly tags: number;
  readonly url: string;
  readonly namespace: string;
  readonly publishingMs: number;
  readonly samplingMs: number;
  readonly tickMs: number;
}

/** A line of four machines whose weighed streams are the first of the made-up tags; returns the file. */
export function syntheticConfig(folder: string, plan: SyntheticPlan): string {
  const tags = Array.from({ length: plan.tags }, (_, index) => tagLine(index + 1));
  const file = join(folder, 'plant.yaml');
  writeFileSync(join(folder, 'alarms.yaml'), ALARMS);
  writeFileSync(file, [...head(plan), ...tags, ...STREAMS, ''].join('\n'));
  return file;
}

/** The pump of the treater; all others weigh seed. */
const PUMP = 4;
const tagLine = (number: number) => {
  const unit = number === PUMP ? 'mL/min' : 'kg/h';
  return `          - { signal: value-${number}, node: Synthetic.Value${number}, unit: ${unit}, resolution: 0.001 }`;
};

function head(plan: SyntheticPlan): readonly string[] {
  return [
    'name: Made-up plant',
    'timeZone: Etc/UTC',
    "shifts: [{ name: Day, starts: '00:00' }]",
    `tickMs: ${plan.tickMs}`,
    'holdBackMs: 500',
    'alarms: alarms.yaml',
    'endpoints:',
    `  - { id: plant, url: '${plan.url}', namespace: '${plan.namespace}', publishingIntervalMs: ${plan.publishingMs}, samplingIntervalMs: ${plan.samplingMs}, backfillMsMax: 0 }`,
    'crops: [{ id: soybean, name: Soybean, bushelMassKg: 27.2155422, source: made up }]',
    'groups: {}',
    'lines:',
    '  - id: m',
    '    name: Made-up line',
    '    endpoint: plant',
    '    defaultCrop: soybean',
    '    feedKgPerHFloor: 1',
    '    nowWindowMs: 10000',
    '    bridgedGapMsMax: 20000',
    '    coveredRatioMin: 0.5',
    '    bands: {}',
    '    machines:',
    '      - { id: pit, name: Pit, kind: intake }',
    '      - { id: cleaner, name: Cleaner, kind: air-screen }',
    '      - { id: drum, name: Drum, kind: treater }',
    '      - id: all',
    '        name: All',
    '        kind: conveyor',
    '        tags:',
  ];
}

const STREAMS = [
  '    streams:',
  '      - { id: feed, name: feed, role: main, to: pit, massFlow: all.value-1, transportS: 0 }',
  '      - { id: raw, name: raw, role: main, from: pit, to: cleaner, transportS: 5 }',
  '      - { id: clean, name: clean, role: main, from: cleaner, to: drum, massFlow: all.value-2, transportS: 5 }',
  '      - { id: treated, name: treated, role: main, from: drum, transportS: 0 }',
  '      - { id: screenings, name: screenings, role: reject, from: cleaner, massFlow: all.value-3, transportS: 0 }',
  '      - { id: coat, name: coat, role: liquid, to: drum, volumeFlow: all.value-4, transportS: 0 }',
];

const ALARMS = `priorities:
  - { withinMs: 600000, minor: low, major: medium, severe: high }
cards: {}
firstStop: []
suppressions: []
rules: []
`;
