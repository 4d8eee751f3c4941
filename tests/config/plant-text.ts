import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { loadConfig } from '#server/config/load-config.ts';

/** A plant as small as its schema allows, and yet with one of each thing; the tests name its lines. */
export const PLANT_TEXT = `name: Small plant
timeZone: America/Chicago
shifts:
  - { name: Day, starts: '06:00' }
  - { name: Night, starts: '18:30' }
tickMs: 250
holdBackMs: 500
alarms: rules.yaml
endpoints:
  - id: plc
    url: opc.tcp://127.0.0.1:4840
    namespace: urn:small
    publishingIntervalMs: 200
    samplingIntervalMs: 100
    backfillMsMax: 0
crops:
  - { id: soybean, name: Soybean, bushelMassKg: 27.2, source: by hand }
groups:
  drive:
    - { signal: running, node: Running, unit: state }
lines:
  - id: s
    name: Line S
    endpoint: plc
    defaultCrop: soybean
    feedKgPerHFloor: 100
    nowWindowMs: 10000
    bridgedGapMsMax: 20000
    coveredRatioMin: 0.5
    bands:
      line.feed-rate: { low: 1, high: 2, target: null }
    machines:
      - id: pit
        name: Pit
        kind: intake
        nodes: Pit.Main
        groups: [drive]
        tags:
          - { signal: flow, node: Pit.Flow, unit: 'kg/h', range: [0, 9000], resolution: 1, factor: 1000 }
      - id: drum
        name: Drum
        kind: treater
        running: pit.running
        tags:
          - { signal: pump-speed, node: 'nsu=urn:other;i=7', unit: '1/min', staleAfterMs: 5000 }
    streams:
      - { id: feed, name: feed, role: main, to: pit, massFlow: pit.flow, transportS: 0 }
      - { id: raw, name: raw, role: main, from: pit, to: drum, transportS: 12.5 }
      - { id: out, name: out, role: main, from: drum, transportS: 0 }
`;

export const RULES_TEXT = `priorities:
  - { withinMs: 600000, minor: low, major: high, severe: critical }
cards:
  stopped: { causes: [a], consequence: b, severity: major, actions: [c], respondWithinMs: 600000 }
firstStop: []
suppressions: []
rules:
  - id: s.pit.stopped
    line: s
    machine: pit
    card: stopped
    kind: run-contact
    subject: s.pit.running
`;

/** Loads the plant from files of these texts, as if a person had written them. */
export async function loadedFrom(plant: string, rules = RULES_TEXT) {
  const folder = await mkdtemp(path.join(tmpdir(), 'plant-text-'));
  try {
    await writeFile(path.join(folder, 'small.yaml'), plant);
    await writeFile(path.join(folder, 'rules.yaml'), rules);
    return await loadConfig(path.join(folder, 'small.yaml'));
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** The text with one place changed; fails when the place is not there, so that no test passes by a misspelling. */
export function changed(text: string, from: string, to: string): string {
  if (!text.includes(from)) throw new Error(`the text has no "${from}"`);
  return text.replace(from, to);
}
