import { recentText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNow, useStore, useTimeReader } from '../../live/use-live.ts';

/** Whether readings are being kept, and what was lost if not. */
export function RecordingState() {
  const { texts, stores } = useApp();
  const recording = useStore(stores.recording);
  const now = useNow();
  const time = useTimeReader();
  const words = texts.field;
  if (recording === null) return null;
  const { isRecording, sinceMs, waitingCount, lostCount, because } = recording;
  const since = recentText(sinceMs, now, time);
  return (
    <section className="panel field-recording" aria-labelledby="recording-title">
      <h2 id="recording-title">{words.recording}</h2>
      <p>{isRecording ? words.recordingOn(since) : words.recordingOff(since, waitingCount, lostCount)}</p>
      {because !== null && <p className="soft">{because}</p>}
    </section>
  );
}
