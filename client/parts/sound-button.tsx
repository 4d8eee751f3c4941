import { useApp } from '../live/app-context.ts';
import { useStore } from '../live/use-live.ts';

/** Turns the sound of alarms on and off, and silences what is sounding until another alarm asks. */
export function SoundButton() {
  const { texts, sound } = useApp();
  const words = texts.alarms.sound;
  const { isOn, sounding, isBlocked } = useStore(sound.state);
  return (
    <>
      {sounding !== null && (
        <button type="button" className="button" onClick={() => sound.silence()}>
          {words.silence}
        </button>
      )}
      <button
        type="button"
        className="button button-quiet"
        title={isBlocked ? words.blocked : undefined}
        onClick={() => (isOn ? sound.turnOff() : sound.turnOn())}
      >
        {isOn ? words.on : words.off}
      </button>
    </>
  );
}
