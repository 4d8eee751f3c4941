import { describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import { Fault } from '#server/contract/faults.ts';
import { changed, loadedFrom, PLANT_TEXT, RULES_TEXT } from './plant-text.ts';

async function faultOf(loading: Promise<unknown>): Promise<string> {
  try {
    await loading;
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
  throw new Error('the configuration was taken');
}

/** What is wrong, the place in the text that is changed, and what the person is told. */
type Case = readonly [what: string, from: string, to: string, told: string];

const named = (cases: readonly Case[]) => cases.map(([what, from, to, told]) => ({ what, from, to, told }));

const IN_PLANT: readonly Case[] = [
  [
    'YAML that does not close',
    "{ name: Day, starts: '06:00' }",
    "{ name: Day, starts: '06:00'",
    'CONFIG_SYNTAX small.yaml:5: got Flow map in block collection must be sufficiently indented and end with a }, expected YAML; mend that line; server not started',
  ],
  [
    'a key twice',
    'tickMs: 250',
    'tickMs: 250\ntickMs: 500',
    'CONFIG_SYNTAX small.yaml:7: got Map keys must be unique, expected YAML; mend that line; server not started',
  ],
  [
    'an unknown key',
    'tickMs: 250',
    'tickMs: 250\ntickSeconds: 1',
    'CONFIG_SHAPE small.yaml:7 top level: got unknown key "tickSeconds", expected only the keys that the template shows; mend it; server not started',
  ],
  [
    'a missing key',
    'holdBackMs: 500\n',
    '',
    'CONFIG_SHAPE small.yaml:1 top level: got no "holdBackMs", expected that key; mend it; server not started',
  ],
  [
    'a key missing deep inside',
    ', transportS: 12.5',
    '',
    'CONFIG_SHAPE small.yaml:48 lines.0.streams.1: got no "transportS", expected that key; mend it; server not started',
  ],
  [
    'text where a number belongs',
    'tickMs: 250',
    'tickMs: fast',
    'CONFIG_SHAPE small.yaml:6 tickMs: got "fast", expected a number; mend it; server not started',
  ],
  [
    'a number out of range',
    'tickMs: 250',
    'tickMs: 10',
    'CONFIG_RANGE small.yaml:6 tickMs: got 10, expected >= 50; mend it; server not started',
  ],
  [
    'a mass that is not positive',
    'bushelMassKg: 27.2',
    'bushelMassKg: -27.2',
    'CONFIG_RANGE small.yaml:17 crops.0.bushelMassKg: got -27.2, expected > 0; mend it; server not started',
  ],
  [
    'samples that are kept for less than a day',
    'alarms: rules.yaml',
    'retention: { classes: [{ samplesDays: 0.5 }] }\nalarms: rules.yaml',
    'CONFIG_RANGE small.yaml:8 retention.classes.0.samplesDays: got 0.5, expected >= 1; mend it; server not started',
  ],
  [
    'a class of retention with a key too many',
    'alarms: rules.yaml',
    'retention:\n  classes:\n    - { sampleDays: 9 }\nalarms: rules.yaml',
    'CONFIG_SHAPE small.yaml:10 retention.classes.0: got unknown key "sampleDays", expected only the keys that the template shows; mend it; server not started',
  ],
  [
    'an unknown kind of machine',
    'kind: treater',
    'kind: toaster',
    'CONFIG_SHAPE small.yaml:42 lines.0.machines.1.kind: got "toaster", expected one of intake, scalper, air-screen, aspirator, length-grader, sizer, destoner, gravity-table, spiral, colour-sorter, bin, treater, dryer, bagger, elevator, conveyor, dust-system; mend it; server not started',
  ],
  [
    'an unknown unit',
    "unit: 'kg/h'",
    'unit: lb/h',
    'CONFIG_SHAPE small.yaml:39 lines.0.machines.0.tags.0.unit: got "lb/h", expected one of 1, kg, kg/h, kg/bu, kg/hL, mL, mL/min, mL/bu, g/mL, degC, A, V, kW, Pa, m/s, mm/s, mm, deg, 1/min, h, s, count, state, money/h; mend it; server not started',
  ],
  [
    'an id in capitals',
    'id: drum',
    'id: Drum',
    'CONFIG_SHAPE small.yaml:40 lines.0.machines.1.id: got "Drum", expected lower case, digits and hyphens; mend it; server not started',
  ],
  [
    'a time of day that no clock shows',
    "'18:30'",
    "'24:30'",
    'CONFIG_SHAPE small.yaml:5 shifts.1.starts: got "24:30", expected hh:mm; mend it; server not started',
  ],
  [
    'a machine twice',
    'id: drum',
    'id: pit',
    'CONFIG_REFERENCE small.yaml:32 lines.s.machines: got pit twice, expected each id once; rename one of them; server not started',
  ],
  [
    'a stream twice',
    'id: raw',
    'id: feed',
    'CONFIG_REFERENCE small.yaml:46 lines.s.streams: got feed twice, expected each id once; rename one of them; server not started',
  ],
  [
    'a tag twice',
    'signal: flow',
    'signal: running',
    'CONFIG_REFERENCE small.yaml:38 lines.s.machines.pit.tags: got s.pit.running twice, expected each id once; rename one of them; server not started',
  ],
  [
    'a crop twice',
    'groups:\n',
    '  - { id: soybean, name: S, bushelMassKg: 1, source: x }\ngroups:\n',
    'CONFIG_REFERENCE small.yaml:16 crops: got soybean twice, expected each id once; rename one of them; server not started',
  ],
  [
    'a stream to nowhere',
    'to: drum',
    'to: barrel',
    'CONFIG_REFERENCE small.yaml:48 lines.s.streams.raw: got barrel, expected one of pit, drum; correct the name or add it; server not started',
  ],
  [
    'an unknown tag at a stream',
    'massFlow: pit.flow',
    'massFlow: pit.flaw',
    `CONFIG_REFERENCE small.yaml:47 lines.s.streams.feed: got s.pit.flaw, expected a tag of one of the line's machines; add the tag or correct the name; server not started`,
  ],
  [
    'an unknown tag at a machine',
    'running: pit.running',
    'running: pit.turning',
    `CONFIG_REFERENCE small.yaml:40 lines.s.machines.drum: got s.pit.turning, expected a tag of one of the line's machines; add the tag or correct the name; server not started`,
  ],
  [
    'an unknown group',
    'groups: [drive]',
    'groups: [drivel]',
    'CONFIG_REFERENCE small.yaml:37 lines.s.machines.pit.groups: got drivel, expected one of drive; correct the name or add it; server not started',
  ],
  [
    'no way from outside',
    'from: pit, to: drum',
    'from: drum, to: pit',
    'CONFIG_REFERENCE small.yaml:46 lines.s.streams: got raw leaves drum, which no seed reaches, expected a way of main streams from outside the line to each machine; add the missing stream; server not started',
  ],
  [
    'no feed',
    'role: main, to: pit',
    'role: reject, to: pit',
    'CONFIG_REFERENCE small.yaml:46 lines.s.streams: got raw leaves pit, which no seed reaches, expected a way of main streams from outside the line to each machine; add the missing stream; server not started',
  ],
  [
    'a scale in the wrong unit',
    'massFlow: pit.flow',
    'massTotal: pit.flow',
    'CONFIG_REFERENCE small.yaml:47 lines.s.streams.feed.massTotal: got s.pit.flow in kg/h, expected a tag in kg; name another tag, or give this one the unit and factor that fit; server not started',
  ],
  [
    'no way out of the line',
    'from: drum, transportS: 0',
    'from: drum, to: pit, transportS: 0',
    'CONFIG_REFERENCE small.yaml:46 lines.s.streams: got feed enters pit, from where seed never leaves the line, expected a way of main streams from each machine out of the line or into a bin; add the missing stream; server not started',
  ],
  [
    'a stream that hangs on nothing',
    'role: main, from: drum, transportS: 0',
    'role: main, transportS: 0',
    'CONFIG_REFERENCE small.yaml:46 lines.s.streams: got feed enters pit, from where seed never leaves the line, expected a way of main streams from each machine out of the line or into a bin; add the missing stream; server not started',
  ],
  [
    'a stream from a machine into itself',
    'role: main, from: drum, transportS: 0 }',
    'role: main, from: drum, transportS: 0 }\n      - { id: loop, name: loop, role: main, from: pit, to: pit, transportS: 0 }',
    'CONFIG_REFERENCE small.yaml:50 lines.s.streams.loop: got from and to pit, expected two different ends; correct one of them; server not started',
  ],
  [
    'a route past a machine that has no gate',
    '    machines:\n',
    '    routes:\n      - { name: route A, bypassed: [drum] }\n    machines:\n',
    'CONFIG_REFERENCE small.yaml:32 lines.s.routes.route A: got drum, which has no "bypassed" tag, expected machines of the line that can be bypassed; correct the name, or add the tag of its gate; server not started',
  ],
  [
    'an unknown crop',
    'defaultCrop: soybean',
    'defaultCrop: soyabean',
    'CONFIG_REFERENCE small.yaml:25 lines.s.defaultCrop: got soyabean, expected one of soybean; correct the name or add it; server not started',
  ],
  [
    'an unknown endpoint',
    'endpoint: plc',
    'endpoint: plk',
    'CONFIG_REFERENCE small.yaml:24 lines.s.endpoint: got plk, expected one of plc; correct the name or add it; server not started',
  ],
  [
    'an unknown time zone',
    'America/Chicago',
    'America/Quillmarsh',
    'CONFIG_REFERENCE small.yaml:2 timeZone: got America/Quillmarsh, expected an IANA time zone such as America/Chicago; correct the name; server not started',
  ],
];

const IN_RULES: readonly Case[] = [
  [
    'a rule on an unknown machine',
    'machine: pit',
    'machine: mill',
    'CONFIG_REFERENCE rules.yaml:10 rules.s.pit.stopped.machine: got mill, expected one of pit, drum; correct the name or add it; server not started',
  ],
  [
    'a rule on an unknown line',
    'line: s',
    'line: t',
    'CONFIG_REFERENCE rules.yaml:9 rules.s.pit.stopped.line: got t, expected one of s; correct the name or add it; server not started',
  ],
  [
    'a severity that there is not',
    'severity: major',
    'severity: awful',
    'CONFIG_SHAPE rules.yaml:4 cards.stopped.severity: got "awful", expected one of minor, major, severe; mend it; server not started',
  ],
  [
    'a rule of no kind',
    'kind: run-contact',
    'kind: hunch',
    'CONFIG_SHAPE rules.yaml:12 rules.0.kind: got "hunch", expected one of limit, deviation, change, drift, quality, run-contact, condition; mend it; server not started',
  ],
  [
    'a rule with a key too many',
    'card: stopped',
    'card: stopped\n    colour: red',
    'CONFIG_SHAPE rules.yaml:12 rules.0: got unknown key "colour", expected only the keys that the template shows; mend it; server not started',
  ],
];

describe('a faulty plant file', () => {
  it('that is not there is told with its path', async () => {
    expect(await faultOf(loadConfig('not/there.yaml'))).toBe(
      "CONFIG_MISSING not/there.yaml: got ENOENT: no such file or directory, open 'not/there.yaml', expected a readable file; name another with --config; server not started",
    );
  });

  it.each(named(IN_PLANT))(
    'with $what is told with line, key, value and remedy',
    async ({ from, to, told }) => {
      expect(await faultOf(loadedFrom(changed(PLANT_TEXT, from, to)))).toBe(told);
    },
  );

  it('with no main stream at all is told that the feed is missing', async () => {
    const text = PLANT_TEXT.replaceAll('role: main', 'role: reject');
    expect(await faultOf(loadedFrom(text))).toBe(
      'CONFIG_REFERENCE small.yaml:46 lines.s.streams: got none, expected a main stream without "from", or from a bin: the feed; add it; server not started',
    );
  });

  it('with a first lot of an unknown crop is told with the lot', async () => {
    const lot = `firstLots:
  - { line: s, number: QM-1, crop: rye, massKgPlanned: null, testWeightKgPerHl: null, route: A, treatmentPlan: '1', products: [] }
groups:`;
    expect(await faultOf(loadedFrom(changed(PLANT_TEXT, 'groups:', lot)))).toBe(
      'CONFIG_REFERENCE small.yaml:18 firstLots.QM-1.crop: got rye, expected one of soybean; correct the name or add it; server not started',
    );
  });
});

describe('a faulty file of alarm rules', () => {
  it.each(named(IN_RULES))(
    'with $what is told with line, key, value and remedy',
    async ({ from, to, told }) => {
      expect(await faultOf(loadedFrom(PLANT_TEXT, changed(RULES_TEXT, from, to)))).toBe(told);
    },
  );

  it('with a term that compares with nothing is told what the nearest form of a term lacks', async () => {
    const armed = 'card: stopped\n    armed: { all: [{ subject: s.pit.flow, unit: kg/h }] }';
    expect(await faultOf(loadedFrom(PLANT_TEXT, changed(RULES_TEXT, 'card: stopped', armed)))).toBe(
      'CONFIG_SHAPE rules.yaml:12 rules.0.armed.all.0: got no "above", expected that key; mend it; server not started',
    );
  });

  it('that is not there is told with the name that the plant file gives', async () => {
    const fault = faultOf(loadedFrom(changed(PLANT_TEXT, 'rules.yaml', 'ruels.yaml')));
    expect(await fault).toMatch(/^CONFIG_MISSING .*ruels\.yaml: got ENOENT/);
  });
});
