import type { SimulatorArguments } from './arguments.ts';
import { PLANT_NAMESPACE_URI } from './catalogue.ts';
import { openFace } from './face/opcua-face.ts';
import type { TagEntry } from './tags/tag-entry.ts';

/**
 * Serves made-up tags at a steady rate instead of the plant, for measuring what listens to it.
 *
 * Every tag changes at every beat; its source time is the instant at which its value was set.
 */
export async function serveSynthetic(options: SimulatorArguments): Promise<() => Promise<void>> {
  const tags = syntheticTags(options.synthetic);
  const face = await openFace({
    port: options.port,
    namespaceUri: PLANT_NAMESPACE_URI,
    tags,
    historyLength: 0,
  });
  const periodMs = 1000 / options.hz;
  const startMs = Date.now();
  let beats = 0;

  function beat(): void {
    beats += 1;
    const timeMs = Date.now();
    tags.forEach((_, i) => {
      const value = syntheticValue(beats, i);
      face.publish(i, { value, quality: 0, timeMs, isLive: true, isRecorded: false });
    });
  }

  let timer = setTimeout(onTime, periodMs);
  function onTime(): void {
    beat();
    // From the start, not from the last beat, so that the rate offered is the rate asked for.
    const next = startMs + (beats + 1) * periodMs;
    timer = setTimeout(onTime, Math.max(0, next - Date.now()));
  }

  beat();
  process.stdout.write(`simulator ready ${face.url}\n`);
  return () => {
    clearTimeout(timer);
    return face.close();
  };
}

/** A different value at each beat, so that no change can be lost unseen: the beat is its whole part. */
function syntheticValue(beat: number, tag: number): number {
  return beat + (tag % 1000) / 1000;
}

function syntheticTags(count: number): TagEntry[] {
  return Array.from({ length: count }, (_, i) => ({
    node: `Synthetic.Value${i + 1}`,
    kind: 'analog',
    unit: '1',
    low: 0,
    high: 1_000_000,
    about: 'made-up value that changes at every beat',
    least: 'poor',
  }));
}
