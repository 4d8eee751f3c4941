import {
  DEFAULT_READER_UNITS,
  DOSE_CHOICES,
  MASS_RATE_CHOICES,
  TEMPERATURE_CHOICES,
  type ReaderUnits,
} from '../../server/contract/format/reader-units.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

export const THEMES = ['device', 'light', 'dim'] as const;
export type Theme = (typeof THEMES)[number];

/** How this reader likes to see things. Kept in this browser only. */
export interface Preferences {
  readonly units: ReaderUnits;
  readonly theme: Theme;
}

const KEY = 'sievewright.preferences';
const DEFAULTS: Preferences = { units: DEFAULT_READER_UNITS, theme: 'device' };

/** The reader's preferences, written through to the browser's storage. */
export function preferencesStore(storage: Pick<Storage, 'getItem' | 'setItem'>): SnapshotStore<Preferences> {
  const store = snapshotStore(preferencesFrom(storage.getItem(KEY)));
  return {
    ...store,
    set(preferences) {
      storage.setItem(KEY, JSON.stringify(preferences));
      store.set(preferences);
    },
  };
}

/** What was kept may come from an older version: each choice that is no choice any more falls back. */
export function preferencesFrom(text: string | null): Preferences {
  const kept = recordFrom(text);
  const units = typeof kept['units'] === 'object' && kept['units'] !== null ? kept['units'] : {};
  const choice = <Choice>(name: string, choices: readonly Choice[], otherwise: Choice): Choice =>
    choices.find((one) => one === (units as Record<string, unknown>)[name]) ?? otherwise;
  return {
    units: {
      massRate: choice('massRate', MASS_RATE_CHOICES, DEFAULTS.units.massRate),
      dose: choice('dose', DOSE_CHOICES, DEFAULTS.units.dose),
      temperature: choice('temperature', TEMPERATURE_CHOICES, DEFAULTS.units.temperature),
    },
    theme: THEMES.find((theme) => theme === kept['theme']) ?? DEFAULTS.theme,
  };
}

function recordFrom(text: string | null): Record<string, unknown> {
  try {
    const parsed: unknown = JSON.parse(text ?? '{}');
    return typeof parsed === 'object' && parsed !== null ? (parsed as Record<string, unknown>) : {};
  } catch {
    return {}; // What cannot be read is as good as nothing kept.
  }
}
