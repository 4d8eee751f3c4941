import { Type, type Static } from 'typebox';
import {
  AlarmRuleSchema,
  ResponseCardSchema,
  type AlarmConfiguration,
  type AlarmRule,
} from '../contract/alarm-rule.ts';
import { Fault } from '../contract/faults.ts';
import { checkedText, type CheckedYaml } from './checked-yaml.ts';
import { shapeErrors } from './shape-errors.ts';

/** The rules as they would be. */
export interface ProposedAlarms {
  readonly configuration: AlarmConfiguration;
  /** Ids of the rules that are new, changed or left out. */
  readonly touched: readonly string[];
  /** Where a fault that shows only later stands: `proposal:<line>`. */
  readonly placeOf: (path: string) => string;
}

/** What it is called in messages. */
const SOURCE = { name: 'proposal', outcome: 'nothing was replayed' };

const ProposalSchema = Type.Object(
  {
    rules: Type.Optional(Type.Array(Type.Object({ id: Type.String({ minLength: 1 }) }), { maxItems: 500 })),
    without: Type.Optional(Type.Array(Type.String(), { maxItems: 500 })),
    cards: Type.Optional(Type.Record(Type.String(), ResponseCardSchema)),
  },
  { additionalProperties: false },
);
type Proposal = CheckedYaml<Static<typeof ProposalSchema>>;

/**
 * A proposal, as `server/contract/alarm-replay.ts` describes it, laid over the rules in force. A key that is null is
 * taken away from the rule, `machine` excepted, whose null says that it is the line's.
 *
 * @throws Fault CONFIG_SYNTAX, CONFIG_SHAPE, CONFIG_RANGE or CONFIG_REFERENCE; each names the line of the proposal and the key.
 */
export function proposedAlarms(text: string, inForce: AlarmConfiguration): ProposedAlarms {
  const proposal = checkedText(text, ProposalSchema, SOURCE);
  const { rules = [], without = [], cards = {} } = proposal.value;
  expectOnce(proposal, rules);
  without.forEach((id) => {
    expectKnown(proposal, id, inForce);
  });
  const made = rules.map((given, index) => madeRule(proposal, index, inForce));
  const madeById = new Map(made.map((rule) => [rule.id, rule]));
  const known = new Set(inForce.rules.map(({ id }) => id));
  const gone = new Set(without);
  const kept = inForce.rules.filter(({ id }) => !gone.has(id)).map((rule) => madeById.get(rule.id) ?? rule);
  const added = made.filter(({ id }) => !known.has(id));
  return {
    configuration: {
      ...withoutRules(inForce, gone),
      cards: { ...inForce.cards, ...cards },
      rules: [...kept, ...added].map((rule) => withoutTaking(rule, gone)),
    },
    touched: [...new Set([...made.map(({ id }) => id), ...without])],
    placeOf: proposal.placeOf,
  };
}

function madeRule(proposal: Proposal, index: number, inForce: AlarmConfiguration): AlarmRule {
  const given = proposal.value.rules?.[index];
  const base = inForce.rules.find(({ id }) => id === given?.id);
  const laid = Object.entries({ ...base, ...given });
  const made: unknown = Object.fromEntries(
    laid.filter(([key, value]) => value !== null || key === 'machine'),
  );
  const [error] = shapeErrors(AlarmRuleSchema, made);
  if (error !== undefined) throw proposal.faultAt(['rules', String(index)], made, error);
  return made as AlarmRule;
}

/** What speaks of rules that are gone speaks of the others alone. */
function withoutRules(configuration: AlarmConfiguration, gone: ReadonlySet<string>): AlarmConfiguration {
  const staying = (id: string) => !gone.has(id);
  return {
    ...configuration,
    suppressions: configuration.suppressions
      .map((suppression) => ({ ...suppression, rules: suppression.rules.filter(staying) }))
      .filter(({ rules }) => rules.length > 0),
    firstStop: configuration.firstStop.map(({ latch, ...settings }) =>
      latch === undefined
        ? settings
        : {
            ...settings,
            latch: {
              ...latch,
              rules: Object.fromEntries(Object.entries(latch.rules).filter(([, id]) => staying(id))),
            },
          },
    ),
  };
}

function withoutTaking(rule: AlarmRule, gone: ReadonlySet<string>): AlarmRule {
  if (!('takes' in rule) || typeof rule.takes !== 'object') return rule;
  return { ...rule, takes: rule.takes.filter((id) => !gone.has(id)) };
}

function expectOnce({ placeOf }: Proposal, rules: readonly { readonly id: string }[]): void {
  const ids = rules.map(({ id }) => id);
  const twice = ids.find((id, index) => ids.indexOf(id) !== index);
  if (twice === undefined) return;
  throw new Fault('CONFIG_REFERENCE', {
    subject: `${placeOf(`rules.${twice}`)} rules`,
    got: `${twice} twice`,
    expected: 'each id once',
    remedy: `leave one out; ${SOURCE.outcome}`,
  });
}

function expectKnown({ placeOf }: Proposal, id: string, { rules }: AlarmConfiguration): void {
  if (rules.some((rule) => rule.id === id)) return;
  throw new Fault('CONFIG_REFERENCE', {
    subject: `${placeOf('without')} without`,
    got: id,
    expected: 'the id of a rule in force',
    remedy: `correct or remove it; ${SOURCE.outcome}`,
  });
}
