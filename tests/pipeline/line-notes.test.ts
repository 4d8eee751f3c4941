import { describe, expect, it } from 'vitest';
import { LineNotes } from '#server/pipeline/line-notes.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';

const BY = { actor: { id: 'Ada', role: 'operator' as const }, timeMs: 1000 };
const MARK = { line: 's', machine: 'table', kind: 'lot' as const, timeMs: 1000, text: 'last seed past here' };
const SAMPLE = { line: 's', stream: 'lights', lot: null, takenMs: 1000, results: {}, note: '' };

describe('LineNotes', () => {
  it('reads what people noted, and reads it anew after five seconds', async () => {
    const records = memoryRecordStore();
    const notes = new LineNotes(records);
    await notes.read(2000, []);
    expect([notes.marks, notes.samples]).toEqual([[], []]);
    await records.writeMark(MARK, BY);
    await records.recordHandSample(SAMPLE, BY);
    await notes.read(6999, []);
    expect(notes.marks).toEqual([]);
    await notes.read(7000, []);
    expect(notes.marks).toMatchObject([MARK]);
    expect(notes.samples).toMatchObject([SAMPLE]);
  });

  it('keeps what it knew when the records cannot be read', async () => {
    const records = memoryRecordStore();
    await records.writeMark(MARK, BY);
    const notes = new LineNotes(records);
    await notes.read(2000, []);
    records.marks = () => Promise.reject(new Error('disk full'));
    await expect(notes.read(9000, [])).rejects.toThrow('disk full');
    expect(notes.marks).toHaveLength(1);
  });
});
