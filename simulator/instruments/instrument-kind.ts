import type { TagEntry } from '../tags/tag-entry.ts';

/** How an instrument of some kind bends the truth when it is well. */
export interface InstrumentKind {
  /** Time constant of its damping, s. */
  readonly lagS: number;
  /** Time before it sees anything, s. */
  readonly deadS: number;
  /** Scatter of one reading: a share of the reading, and in its own unit. */
  readonly noiseRatio: number;
  readonly noise: number;
  /** Smallest difference it shows. */
  readonly resolution: number;
  /** Scatter of the fixed span error that every instrument of this kind was left with. */
  readonly spanRatio: number;
}

/** The kind of instrument at a tag, from what it measures. Figures invented, as is common for such instruments. */
export function instrumentKind({ node, unit }: TagEntry): InstrumentKind {
  const byNode = BY_NODE.find(([pattern]) => pattern.test(node));
  return byNode === undefined ? (BY_UNIT[unit] ?? EXACT) : byNode[1];
}

const EXACT: InstrumentKind = { lagS: 0, deadS: 0, noiseRatio: 0, noise: 0, resolution: 0.01, spanRatio: 0 };
const BELT_SCALE = { lagS: 2, deadS: 0, noiseRatio: 0.003, noise: 6, resolution: 1, spanRatio: 0.0012 };
const REJECT_SCALE = { lagS: 5, deadS: 0, noiseRatio: 0.006, noise: 0.4, resolution: 0.1, spanRatio: 0.0025 };

const BY_NODE: readonly (readonly [RegExp, InstrumentKind])[] = [
  [/^(Intake|Clean)\.MassFlow$|^Treater\.SeedFlow$/, BELT_SCALE],
  [
    /Flow$(?<=(Overs|Screenings|Liftings|Shorts|OffSize|Stones|Lights|Middlings|OffRound|OffColour)Flow)/,
    REJECT_SCALE,
  ],
  [/Pump.Flow$/, { lagS: 1, deadS: 0, noiseRatio: 0.004, noise: 0.2, resolution: 0.1, spanRatio: 0.002 }],
  [/Tank.?Mass$/, { lagS: 1, deadS: 0, noiseRatio: 0, noise: 0.02, resolution: 0.05, spanRatio: 0.0004 }],
  [/Moisture/, { lagS: 15, deadS: 8, noiseRatio: 0, noise: 0.05, resolution: 0.01, spanRatio: 0.006 }],
  [/BagMass$/, { lagS: 0, deadS: 0, noiseRatio: 0, noise: 0, resolution: 0.01, spanRatio: 0.0003 }],
  [/Level$/, { lagS: 4, deadS: 0, noiseRatio: 0.01, noise: 0.5, resolution: 0.1, spanRatio: 0.01 }],
  [/Vibration$/, { lagS: 3, deadS: 0, noiseRatio: 0.03, noise: 0.01, resolution: 0.01, spanRatio: 0.01 }],
  [
    /(Screen|Tilt|Angle|Gate|Set)$/,
    { lagS: 0, deadS: 0, noiseRatio: 0, noise: 0, resolution: 0.001, spanRatio: 0 },
  ],
  [/Density$/, { lagS: 5, deadS: 0, noiseRatio: 0, noise: 0.001, resolution: 0.001, spanRatio: 0.001 }],
  [/Humidity$/, { lagS: 20, deadS: 0, noiseRatio: 0, noise: 0.15, resolution: 0.1, spanRatio: 0.01 }],
];

const BY_UNIT: Readonly<Partial<Record<TagEntry['unit'], InstrumentKind>>> = {
  A: { lagS: 0.4, deadS: 0, noiseRatio: 0.004, noise: 0.005, resolution: 0.01, spanRatio: 0.003 },
  '°C': { lagS: 8, deadS: 0, noiseRatio: 0, noise: 0.04, resolution: 0.1, spanRatio: 0.002 },
  Pa: { lagS: 1.5, deadS: 0, noiseRatio: 0.006, noise: 1, resolution: 1, spanRatio: 0.004 },
  V: { lagS: 1, deadS: 0, noiseRatio: 0.0005, noise: 0, resolution: 0.1, spanRatio: 0.002 },
  'r/min': { lagS: 0.5, deadS: 0, noiseRatio: 0.0005, noise: 0.3, resolution: 1, spanRatio: 0 },
  '1/min': { lagS: 0.5, deadS: 0, noiseRatio: 0.0005, noise: 0.2, resolution: 0.1, spanRatio: 0 },
  'm/s': { lagS: 0.5, deadS: 0, noiseRatio: 0.002, noise: 0.001, resolution: 0.001, spanRatio: 0.002 },
};
