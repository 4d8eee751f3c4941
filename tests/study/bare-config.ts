import type { PlantConfig } from '#server/config/plant-config.ts';
import { configurationOf, hotRule } from '#tests/alarms/rules.ts';

const OVERFED = 's.pit.overfed';
const LOW_YIELD = 's.line.yield-low';

/** Two rules of the small line: one on a tag, one on a figure's band. */
export const SMALL_RULES = configurationOf([
  hotRule({
    id: OVERFED,
    line: 's',
    machine: 'pit',
    subject: 's.pit.flow',
    unit: 'kg/h',
    limits: [{ side: 'high', limit: 12_000, deadband: 100 }],
    onDelayMs: 2000,
  }),
  {
    id: LOW_YIELD,
    line: 's',
    machine: null,
    card: 'medium',
    kind: 'deviation',
    subject: 's.line.yield',
    unit: '1',
    allowed: { from: 'band', deadband: 0 },
    onDelayMs: 5000,
  },
]);

/** A plant of rules alone, without a line. */
export const BARE_CONFIG: PlantConfig = {
  name: 'Small plant',
  timeZone: 'America/Chicago',
  shifts: [],
  tickMs: 250,
  holdBackMs: 500,
  retention: { mostBytes: null, classes: [] },
  renamed: [],
  endpoints: [],
  crops: [],
  lines: [],
  settings: [],
  tags: [],
  addresses: [],
  machines: null,
  alarms: SMALL_RULES,
  firstLots: [],
};
