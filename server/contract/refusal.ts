import { Type, type Static } from 'typebox';

/** What every request that is not answered gets instead, whatever went wrong. */
export const RefusalSchema = Type.Object(
  {
    error: Type.String({
      description: 'CODE subject: got <value>, expected <limit>; <what to do>',
      examples: [
        'REQUEST_UNKNOWN query.series: got "line-1.x", expected a tag or figure of /api/plant; leave it out',
      ],
    }),
  },
  { $id: 'Refusal' },
);
export type Refusal = Static<typeof RefusalSchema>;
