import type { Priority } from '../../server/contract/alarm-message.ts';
import { PULSES, type PlayBurst } from './alarm-sound.ts';

const PULSE_S = 0.16;
const PAUSE_S = 0.12;
const LOUDNESS = 0.25;
const EDGE_S = 0.02;

/** Bursts by the browser's own synthesiser: nothing to download, and soft edges so that it does not click. */
export function burstPlayer(): PlayBurst {
  let context: AudioContext | null = null;
  return async (priority) => {
    try {
      context ??= new AudioContext();
      await context.resume();
      if (context.state !== 'running') return false;
      pulses(context, priority);
      return true;
    } catch {
      return false; // A device without sound is no reason to stop watching.
    }
  };
}

function pulses(context: AudioContext, priority: Priority): void {
  const { count, hertz } = PULSES[priority];
  for (let pulse = 0; pulse < count; pulse += 1) {
    const beginS = context.currentTime + pulse * (PULSE_S + PAUSE_S);
    const tone = new OscillatorNode(context, { frequency: hertz, type: 'triangle' });
    const loudness = new GainNode(context, { gain: 0 });
    loudness.gain.setValueAtTime(0, beginS);
    loudness.gain.linearRampToValueAtTime(LOUDNESS, beginS + EDGE_S);
    loudness.gain.setValueAtTime(LOUDNESS, beginS + PULSE_S - EDGE_S);
    loudness.gain.linearRampToValueAtTime(0, beginS + PULSE_S);
    tone.connect(loudness).connect(context.destination);
    tone.start(beginS);
    tone.stop(beginS + PULSE_S);
  }
}
