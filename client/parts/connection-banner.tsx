import { numberText } from '../../server/contract/format/number-text.ts';
import { clockText } from '../../server/contract/format/time-text.ts';
import { useApp } from '../live/app-context.ts';
import { useConnection, useStore, useTimeReader } from '../live/use-live.ts';
import './connection-banner.css';

/** Says plainly what is not working, since when, and what still is. Empty when all is well. */
export function ConnectionBanner() {
  const troubles = useTroubles();
  const { texts } = useApp();
  const { isOutdated } = useConnection();
  return (
    <div role="status" className="banners">
      {troubles.map((trouble) => (
        <p key={trouble} className="banner">
          {trouble}
        </p>
      ))}
      <WaitingReadings />
      {isOutdated && (
        <p className="banner">
          {texts.connection.outdated}{' '}
          <button type="button" className="button" onClick={() => window.location.reload()}>
            {texts.connection.reload}
          </button>
        </p>
      )}
    </div>
  );
}

/** How many: a number that changes with every tick is no news to be read aloud, and stands in the field view too. */
function WaitingReadings() {
  const { stores, texts } = useApp();
  const { state } = useConnection();
  const recording = useStore(stores.recording);
  if (state !== 'live' || recording === null || recording.isRecording) return null;
  const text = (count: number) => numberText(count, 0, texts.format.decimalMark);
  const { waitingCount, lostCount } = recording;
  return (
    <p className="banner banner-more" aria-hidden="true">
      {texts.connection.waiting(text(waitingCount), text(lostCount))}
    </p>
  );
}

function useTroubles(): readonly string[] {
  const { stores, texts } = useApp();
  const connection = useConnection();
  const links = useStore(stores.links);
  const recording = useStore(stores.recording);
  const time = useTimeReader();
  const words = texts.connection;
  if (connection.state === 'lost') {
    return [
      connection.sinceMs === null ? words.lostBeforeFirst : words.lost(clockText(connection.sinceMs, time)),
    ];
  }
  if (connection.state === 'connecting') return [];
  const lost = links.filter((link) => link.state === 'lost');
  const troubles = lost.map((link) => words.fieldLost(link.endpoint, clockText(link.sinceMs, time)));
  if (recording !== null && !recording.isRecording) {
    troubles.push(words.notRecording(clockText(recording.sinceMs, time)));
  }
  return troubles;
}
