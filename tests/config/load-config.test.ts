import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import { changed, loadedFrom, PLANT_TEXT } from './plant-text.ts';

const fileOf = (name: string) => fileURLToPath(new URL(`../../config/${name}`, import.meta.url));

describe('the demonstration plant', () => {
  let config: PlantConfig;
  beforeAll(async () => {
    config = await loadConfig(fileOf('plant.yaml'));
  });

  it('has one line, from the intake to the bagger, with its dust system', () => {
    expect(config.lines.map(({ id }) => id)).toEqual(['a']);
    expect(config.lines[0]?.machines.map(({ id }) => id).join(' ')).toBe(
      'intake elevator-1 scalper air-screen aspirator length-grader sizer elevator-2 destoner gravity-table clean-bin elevator-3 treater dryer bagger dust-system',
    );
  });

  it('has every tag once, each with an address on the one endpoint', () => {
    const ids = config.tags.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(config.addresses.map(({ tag }) => tag)).toEqual(ids);
    expect(new Set(config.addresses.map(({ endpoint }) => endpoint))).toEqual(new Set(['plant']));
  });

  it('puts the nodes of a group behind those of the machine, in the namespace of the endpoint', () => {
    expect(config.addresses.find(({ tag }) => tag === 'a.elevator-2.belt-speed')?.node).toBe(
      'nsu=urn:quillmarsh-station:plant;s=Elevator2.BeltSpeed',
    );
  });

  it('weighs the feed at the intake and lets seed take 67 s to the clean scale', () => {
    const streams = config.lines[0]?.streams ?? [];
    expect(streams.find(({ id }) => id === 'feed')).toMatchObject({
      from: null,
      to: 'intake',
      massFlowTag: 'a.intake.mass-flow',
      massTotalTag: 'a.intake.mass-total',
    });
    expect(streams.find(({ id }) => id === 'clean')).toMatchObject({
      from: 'gravity-table',
      to: 'clean-bin',
      transportMs: 67_000,
    });
  });

  it('starts its shifts at 06:00, 14:00 and 22:00', () => {
    expect(config.shifts.map(({ startsMinute }) => startsMinute / 60)).toEqual([6, 14, 22]);
  });
});

describe('the template for a real plant', () => {
  it('loads, with nothing but two scales and run contacts', async () => {
    const config = await loadConfig(fileOf('template.yaml'));
    expect(config.lines[0]?.machines.map(({ kind }) => kind)).toEqual([
      'intake',
      'air-screen',
      'gravity-table',
      'bagger',
    ]);
    expect(config.tags.map(({ id, unit }) => `${id} ${unit}`)).toEqual([
      'one.intake.running state',
      'one.intake.mass-flow kg/h',
      'one.sieve.running state',
      'one.table.running state',
      'one.bagger.running state',
      'one.bagger.mass-flow kg/h',
    ]);
    expect(config.alarms.rules.map(({ id }) => id)).toContain('one.table.stopped');
  });
});

describe('loadConfig', () => {
  it('writes a tag out in full: defaults for what is left out, the rest as given', async () => {
    const { tags } = await loadedFrom(PLANT_TEXT);
    expect(tags[0]).toEqual({
      id: 's.pit.running',
      line: 's',
      machine: 'pit',
      name: 'running',
      unit: 'state',
      interpolation: 'step',
      rangeLow: null,
      rangeHigh: null,
      resolution: 1,
      staleAfterMs: 10_000,
    });
    expect(tags[1]).toMatchObject({ rangeLow: 0, rangeHigh: 9000, interpolation: 'linear', resolution: 1 });
    expect(tags[2]).toMatchObject({ name: 'pump speed', staleAfterMs: 5000, resolution: 0 });
  });

  it('leaves a node that is written in full as it is', async () => {
    const { addresses } = await loadedFrom(PLANT_TEXT);
    expect(addresses.map(({ node, factor }) => [node, factor])).toEqual([
      ['nsu=urn:small;s=Pit.Main.Running', null],
      ['nsu=urn:small;s=Pit.Flow', 1000],
      ['nsu=urn:other;i=7', null],
    ]);
  });

  it("takes another machine's contact where the file names it, and none where there is none", async () => {
    const [graph] = (await loadedFrom(PLANT_TEXT)).lines;
    expect(graph?.machines.map(({ runningTag, bypassedTag }) => [runningTag, bypassedTag])).toEqual([
      ['s.pit.running', null],
      ['s.pit.running', null],
    ]);
  });

  it('keeps everything where no retention is written, and turns days and gigabytes into what the store takes', async () => {
    expect((await loadedFrom(PLANT_TEXT)).retention).toEqual({ classes: [], mostBytes: null });
    const retention = `retention:
  historyGbMax: 2.5
  classes:
    - { kind: figure, startsWith: s.line., samplesDays: 2 }
    - { interpolation: step, samplesDays: 1, rollupsDays: 3 }
    - {}
tickMs: 250`;
    expect((await loadedFrom(changed(PLANT_TEXT, 'tickMs: 250', retention))).retention).toEqual({
      mostBytes: 2_500_000_000,
      classes: [
        { kind: 'figure', nameStartsWith: 's.line.', keepRawMs: 172_800_000, keepRollupsMs: null },
        { interpolation: 'step', keepRawMs: 86_400_000, keepRollupsMs: 259_200_000 },
        { keepRawMs: null, keepRollupsMs: null },
      ],
    });
  });

  it('turns seconds into milliseconds, clock times into minutes and figure names into ids', async () => {
    const config = await loadedFrom(PLANT_TEXT);
    expect(config.lines[0]?.streams[1]).toMatchObject({ from: 'pit', to: 'drum', transportMs: 12_500 });
    expect(config.shifts).toEqual([
      { name: 'Day', startsMinute: 360 },
      { name: 'Night', startsMinute: 1110 },
    ]);
    expect(config.settings[0]?.bands).toEqual({ 's.line.feed-rate': { low: 1, high: 2, target: null } });
  });
});
