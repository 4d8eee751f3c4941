import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { after, pipelineRig } from '#tests/pipeline/pipeline-rig.ts';
import { STORM, STORM_RULES, stormKilledAfter, stormReadings } from '#tests/support/alarm-storm.ts';
import { SEED } from '#tests/support/seed.ts';

const folder = mkdtempSync(join(tmpdir(), 'sievewright-storm-'));
afterAll(() => rmSync(folder, { recursive: true }));
const EVER = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

describe('a storm of 5,000 transitions in ten seconds', () => {
  it('is journalled to the last one, in less time than it takes, and said to be a flood from its start to its end', async () => {
    const records = openRecordStore({ file: join(folder, 'whole.sqlite') });
    const rig = await pipelineRig({ rules: STORM_RULES, records });
    const startMs = performance.now();
    await rig.play(stormReadings(after(0)), after(12));
    expect(performance.now() - startMs).toBeLessThan(STORM.lengthMs);

    const journal = await records.alarmJournal(EVER);
    expect(journal).toHaveLength(STORM.transitions);
    const asked = journal.filter(({ to }) => to === 'unacknowledged');
    expect(asked).toHaveLength(STORM.transitions / 2);
    for (const { id } of STORM_RULES) expect(journal.filter(({ alarm }) => alarm === id)).toHaveLength(20);

    const floods = () => rig.updates.flatMap(({ flood }) => flood ?? []);
    expect(floods()[0]).toEqual({ sinceMs: null, count: 0 });
    expect(floods().at(-1)).toEqual({ sinceMs: after(0), count: STORM.transitions / 2 });
    // Ten minutes after the last one, fewer than five have come in ten minutes.
    for (let ticks = 0; ticks < 10; ticks += 1) await rig.tickAt(after(9 + 602));
    expect(floods().at(-1)).toEqual({ sinceMs: null, count: 0 });
    await records.close();
  });

  it.each([0, 1, 2].map((index) => 400 + ((SEED * (index + 1)) % 2500)))(
    'loses no journalled transition when the server is killed with no warning: after %i',
    async (transitions) => {
      const storm = await stormKilledAfter(join(folder, `${transitions}.sqlite`), transitions);
      expect(storm.journalled).toBeGreaterThanOrEqual(transitions);
      expect(storm.journalled).toBeLessThan(STORM.transitions);
      expect(storm).toMatchObject({ lost: 0, torn: 0 });
    },
  );
});
