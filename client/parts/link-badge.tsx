import { Link } from 'wouter';
import { ageText } from '../../server/contract/format/age-text.ts';
import { clockText } from '../../server/contract/format/time-text.ts';
import type { LinkStatus } from '../../server/contract/link-status.ts';
import { useApp } from '../live/app-context.ts';
import { useConnection, useNow, useStore, useTimeReader } from '../live/use-live.ts';

/** How the worst link to the plant stands, in a few words; leads to the Field view. */
export function LinkBadge() {
  const { stores, texts } = useApp();
  const links = useStore(stores.links);
  const connection = useConnection();
  const now = useNow();
  const time = useTimeReader();
  if (connection.state !== 'live') return null;
  const worst = worstLink(links);
  const text = () => {
    if (worst === undefined) return texts.link.none;
    if (worst.state === 'lost') return texts.link.lost(clockText(worst.sinceMs, time));
    if (worst.state === 'connecting' || worst.lastHeardMs === null) return texts.link.connecting;
    return texts.link.live(ageText(now - worst.lastHeardMs, texts.format.decimalMark));
  };
  return (
    <Link href="/field" className="link-badge" title={texts.link.details}>
      {text()}
    </Link>
  );
}

const BADNESS = { lost: 2, connecting: 1, live: 0 } as const;

function worstLink(links: readonly LinkStatus[]): LinkStatus | undefined {
  return links.toSorted((one, other) => BADNESS[other.state] - BADNESS[one.state])[0];
}
