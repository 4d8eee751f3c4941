import { ageText } from '../../../server/contract/format/age-text.ts';
import { recentText } from '../../../server/contract/format/time-text.ts';
import type { LinkStatus } from '../../../server/contract/link-status.ts';
import { useApp } from '../../live/app-context.ts';
import { useConnection, useNow, useStore, useTimeReader } from '../../live/use-live.ts';

/** Each endpoint of the plant: how its link stands, since when, and why. */
export function FieldLinks() {
  const { texts, stores } = useApp();
  const words = texts.field;
  const links = useStore(stores.links);
  return (
    <section className="panel field-links" aria-labelledby="links-title">
      <h2 id="links-title">{words.links}</h2>
      {links.length === 0 ? (
        <p className="soft">{words.noLinks}</p>
      ) : (
        <table role="table" className="table table-stacking">
          <thead>
            <tr>
              <th scope="col">{words.endpoint}</th>
              <th scope="col">{words.state}</th>
              <th scope="col">{words.since}</th>
              <th scope="col">{words.lastHeard}</th>
              <th scope="col">{words.clock}</th>
              <th scope="col">{words.because}</th>
            </tr>
          </thead>
          <tbody role="rowgroup">
            {links.map((link) => (
              <LinkRow key={link.endpoint} link={link} />
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

function LinkRow({ link }: { readonly link: LinkStatus }) {
  const { texts } = useApp();
  const words = texts.field;
  const now = useNow();
  const time = useTimeReader();
  const isHeard = useConnection().state === 'live';
  const { decimalMark } = texts.format;
  const heard =
    link.lastHeardMs === null ? words.never : words.ago(ageText(now - link.lastHeardMs, decimalMark));
  return (
    <tr role="row" data-endpoint={link.endpoint} data-state={link.state}>
      <td role="cell">
        <b>{link.endpoint}</b> <span className="soft">{link.url}</span>
      </td>
      <td role="cell" data-name={words.state}>
        <b>{isHeard ? words.states[link.state] : texts.field.notKnown}</b>
      </td>
      <td role="cell" data-name={words.since} className="table-time">
        {recentText(link.sinceMs, now, time)}
      </td>
      <td role="cell" data-name={words.lastHeard} className="table-time">
        {heard}
      </td>
      <td role="cell" data-name={words.clock}>
        <ClockOffset offsetMs={link.clockOffsetMs} />
      </td>
      <td role="cell">{link.because}</td>
    </tr>
  );
}

/** Below this a difference is the network's, not the clocks'. */
const EVEN_MS = 100;

function ClockOffset({ offsetMs }: { readonly offsetMs: number | null }) {
  const { texts } = useApp();
  const words = texts.field;
  if (offsetMs === null) return words.clockUnknown;
  if (Math.abs(offsetMs) < EVEN_MS) return words.clockEven;
  const age = ageText(Math.abs(offsetMs), texts.format.decimalMark);
  return offsetMs > 0 ? words.clockAhead(age) : words.clockBehind(age);
}
