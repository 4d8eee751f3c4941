import { readFileSync } from 'node:fs';
import { standardUnits } from 'node-opcua';
import { describe, expect, it } from 'vitest';
import { catalogue, tagsPage } from '#simulator/catalogue.ts';
import { unitId } from '#simulator/tags/tag-entry.ts';

describe('catalogue', () => {
  it('is what the tags page says', () => {
    const page = readFileSync(new URL('../../simulator/TAGS.md', import.meta.url), 'utf8');
    expect(page).toBe(tagsPage());
  });

  it('names every point once, by machine and signal in PascalCase', () => {
    const nodes = catalogue('full').map((entry) => entry.node);
    expect(new Set(nodes).size).toBe(nodes.length);
    expect(nodes.filter((node) => !/^[A-Z][A-Za-z0-9]*\.[A-Z][A-Za-z0-9]*$/.test(node))).toEqual([]);
  });

  it('has at least 60 points, fewer on plants that measure less, each set within the richer one', () => {
    const [full, typical, poor] = [catalogue('full'), catalogue('typical'), catalogue('poor')];
    expect(full.length).toBeGreaterThanOrEqual(60);
    expect(full).toEqual(expect.arrayContaining([...typical]));
    expect(typical).toEqual(expect.arrayContaining([...poor]));
    expect(poor.length).toBeLessThan(typical.length);
  });

  it('leaves a poor plant two scales and one motor current', () => {
    const analogs = catalogue('poor').filter((entry) => entry.kind === 'analog');
    expect(analogs.map((entry) => entry.node)).toEqual([
      'Intake.MassFlow',
      'Intake.MassTotal',
      'Bagger.MassTotal',
      'Elevator1.MotorCurrent',
    ]);
  });

  it('numbers its units as OPC UA Part 8 does, against the unit table of node-opcua', () => {
    expect(unitId('°C')).toBe(standardUnits.degree_celsius.unitId);
    expect(unitId('A')).toBe(standardUnits.ampere.unitId);
    expect(unitId('Pa')).toBe(standardUnits.pascal.unitId);
    expect(unitId('m/s')).toBe(standardUnits.metre_per_second.unitId);
    expect(unitId('kg')).toBe(standardUnits.kilogram.unitId);
  });
});
