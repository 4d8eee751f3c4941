import type { ReactNode } from 'react';
import { Link, useRoute } from 'wouter';
import { quantityText } from '../../server/contract/format/quantity-text.ts';
import { clockText } from '../../server/contract/format/time-text.ts';
import { inAlarmOrder, isUnacknowledged } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import { useLot, useNow, useReader, useStore, useTimeReader } from '../live/use-live.ts';
import { ActorButton } from './actor-prompt.tsx';
import { DisplayButton } from './display-button.tsx';
import { LinkBadge } from './link-badge.tsx';
import { PriorityBar } from './priority-bar.tsx';
import { SoundButton } from './sound-button.tsx';
import './page-header.css';

/** The station, the views, and on the right what is always true: lot, shift, time, link, person. */
export function PageHeader() {
  const { plant, texts } = useApp();
  return (
    <header className="header">
      <p className="header-station">{plant.name}</p>
      <nav className="header-views" aria-label={texts.viewsLabel}>
        <ViewLink href="/" name={texts.views.line} />
        <ViewLink href="/trends" name={texts.views.trends} />
        <ViewLink href="/alarms" name={texts.views.alarms}>
          <AlarmBadge />
        </ViewLink>
        <ViewLink href="/machines" name={texts.views.machines} />
        <ViewLink href="/field" name={texts.views.field} />
      </nav>
      <div className="header-state">
        {plant.lines[0] !== undefined && <RunningLot line={plant.lines[0].id} />}
        <RunningShift />
        <Clock />
        <LinkBadge />
        <SoundButton />
        <ActorButton />
        <DisplayButton />
      </div>
    </header>
  );
}

interface ViewLinkProps {
  readonly href: string;
  readonly name: string;
  readonly children?: ReactNode;
}

function ViewLink({ href, name, children }: ViewLinkProps) {
  const [isHere] = useRoute(href);
  return (
    <Link href={href} className="header-view" aria-current={isHere ? 'page' : undefined}>
      {name}
      {children}
    </Link>
  );
}

/** How many alarms wait to be acknowledged, seen from every view; the bar is that of the most urgent. */
function AlarmBadge() {
  const { texts, stores } = useApp();
  const open = inAlarmOrder(useStore(stores.alarms).filter(isUnacknowledged));
  const [first] = open;
  if (first === undefined) return null;
  return (
    <span className={`header-alarms priority-${first.priority}`}>
      <PriorityBar priority={first.priority} />
      <span aria-hidden="true">{open.length}</span>
      <span className="unseen">{texts.alarms.toAcknowledge(open.length)}</span>
    </span>
  );
}

function RunningLot({ line }: { readonly line: string }) {
  const { texts, plant } = useApp();
  const lot = useLot(line);
  const reader = useReader(line);
  if (lot === undefined) return <p className="header-lot soft">{texts.lot.none}</p>;
  const crop = plant.crops.find(({ id }) => id === lot.crop)?.name ?? lot.crop;
  const weight = lot.testWeightKgPerHl;
  const details = [
    crop,
    ...(weight === null
      ? []
      : [texts.lot.testWeight(quantityText({ value: weight, unit: 'kg/hL' }, reader))]),
    lot.route,
    lot.treatmentPlan,
  ];
  return (
    <p className="header-lot">
      {texts.lot.lot} <b>{lot.number}</b> <span className="header-lot-details">{details.join(' · ')}</span>
    </p>
  );
}

function RunningShift() {
  const { stores, plant } = useApp();
  const shifts = useStore(stores.shifts);
  const line = plant.lines[0]?.id;
  const shift = shifts.find((one) => one.line === line && one.endedMs === null);
  return shift === undefined ? null : <p className="header-shift soft">{shift.name}</p>;
}

function Clock() {
  const now = useNow();
  return <p className="header-clock number">{clockText(now, useTimeReader())}</p>;
}
