import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';

const AlarmCountSchema = Type.Object({ alarm: Type.String(), count: Type.Integer() });
const FloodSchema = Type.Object({
  startMs: Type.Number(),
  /** Null while it lasts. */
  endMs: nullable(Type.Number()),
  count: Type.Integer(),
});

/** Whether more alarms come now than a person can answer. */
export const FloodStatusSchema = Type.Object(
  {
    /** When the flood began; null while there is none. */
    sinceMs: nullable(Type.Number()),
    /** Annunciations in the last ten minutes. */
    count: Type.Integer(),
  },
  { $id: 'FloodStatus' },
);
export type FloodStatus = Static<typeof FloodStatusSchema>;

/** One measure beside the target of the standards, both in the measure's own unit; shares run from 0 to 1. */
const MetricVerdictSchema = Type.Object({
  metric: Type.String(),
  value: Type.Number(),
  targetMax: Type.Number(),
  isMet: Type.Boolean(),
});

/** How good the alarms were over a time, after ISA-18.2 / IEC 62682 and EEMUA 191. */
export const AlarmMeasuresSchema = Type.Object(
  {
    fromMs: Type.Number(),
    toMs: Type.Number(),
    annunciations: Type.Integer(),
    perDay: Type.Number(),
    perHour: Type.Number(),
    perTenMinutes: Type.Number(),
    /** Most in any ten minutes, wherever they begin. */
    tenMinutesMax: Type.Integer(),
    /** Share of the clock's ten-minute periods with more than 10, and of its hours with more than 30. */
    busyTenMinutesRatio: Type.Number(),
    busyHoursRatio: Type.Number(),
    floods: Type.Array(FloodSchema),
    floodRatio: Type.Number(),
    topTen: Type.Array(AlarmCountSchema),
    topTenRatio: Type.Number(),
    /** At least three within a minute. */
    chattering: Type.Array(Type.String()),
    /** Gone, unacknowledged, within 10 s. */
    fleeting: Type.Array(Type.String()),
    /** There for more than a day at the end of the time. */
    stale: Type.Array(Type.String()),
    byPriority: Type.Object({
      critical: Type.Integer(),
      high: Type.Integer(),
      medium: Type.Integer(),
      low: Type.Integer(),
    }),
    /** Null when nobody acknowledged anything. */
    acknowledgeMsMedian: nullable(Type.Number()),
    acknowledgeMsP95: nullable(Type.Number()),
    verdicts: Type.Array(MetricVerdictSchema),
  },
  { $id: 'AlarmMeasures' },
);
export type AlarmMeasures = Static<typeof AlarmMeasuresSchema>;

/** The same of one shift; of the running one, until now. */
export const ShiftMeasuresSchema = Type.Object(
  { shift: Type.Integer(), line: Type.String(), name: Type.String(), measures: AlarmMeasuresSchema },
  { $id: 'ShiftMeasures' },
);
export type ShiftMeasures = Static<typeof ShiftMeasuresSchema>;
