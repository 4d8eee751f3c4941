import { Type, type Static } from 'typebox';
import { PRIORITIES } from './alarm-message.ts';
import { AlarmRuleSchema, ResponseCardSchema, SuppressionSchema } from './alarm-rule.ts';
import { nullable } from './nullable.ts';

const PrioritySchema = Type.Enum([...PRIORITIES]);

/** All that stays the same about alarms while the configuration does: rules, response cards, suppressions. */
export const AlarmCatalogueSchema = Type.Object(
  {
    rules: Type.Array(
      Type.Object({
        id: Type.String(),
        line: Type.String(),
        machine: nullable(Type.String()),
        /** The tag or figure that its alarm is shown to be about. */
        subject: Type.String(),
        /** As configured, with its limits; what a replay is asked to change. */
        rule: AlarmRuleSchema,
      }),
    ),
    /** By name, as the alarms carry it. */
    cards: Type.Record(
      Type.String(),
      Type.Object({ ...ResponseCardSchema.properties, priority: PrioritySchema }),
    ),
    /** By design: the state of the plant, the rules that are quiet in it, and why. */
    suppressions: Type.Array(SuppressionSchema),
    shelvedMsMax: Type.Integer(),
  },
  { $id: 'AlarmCatalogue' },
);
export type AlarmCatalogue = Static<typeof AlarmCatalogueSchema>;
