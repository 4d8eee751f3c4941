import { useCallback } from 'react';
import { stampText } from '../../../server/contract/format/time-text.ts';
import type { Followed } from '../../live/snapshot-store.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchRecords } from '../../live/plant-api.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { useAnswer } from '../../live/use-answer.ts';
import { useTimeReader } from '../../live/use-live.ts';
import { MenuButton, MenuItem, MenuRule } from '../../parts/menu-button.tsx';
import type { UnderChoice } from './trend-link.ts';
import { underOffers, type UnderOffer } from './under-choices.ts';

interface UnderMenuProps {
  readonly line: string;
  readonly window: Followed<TimeWindow>;
  readonly chosen: UnderChoice | null;
  readonly onChoose: (under: UnderChoice | null) => void;
}

const DAY_MS = 86_400_000;
const BACK_MS = 30 * DAY_MS;

/** What to lay under the traces: another day, shift or lot. */
export function UnderMenu(props: UnderMenuProps) {
  const { texts } = useApp();
  const words = texts.trends.under;
  return (
    <MenuButton label={words.button}>
      <Offers {...props} />
    </MenuButton>
  );
}

function Offers({ line, window, chosen, onChoose }: UnderMenuProps) {
  const { texts } = useApp();
  const words = texts.trends.under;
  const time = useTimeReader();
  const { toMs } = window.get();
  const asked = useUnderRecords(toMs);
  const offers = asked.answer === null ? null : underOffers(asked.answer, line, toMs);
  const fixed = [
    { name: words.day, shiftMs: DAY_MS },
    { name: words.week, shiftMs: 7 * DAY_MS },
  ];
  const item = ({ name, shiftMs, startedMs }: Omit<UnderOffer, 'startedMs'> & Partial<UnderOffer>) => (
    <MenuItem
      key={`${name} ${shiftMs}`}
      isChosen={chosen?.shiftMs === shiftMs && chosen.name === name}
      onChoose={() => onChoose({ shiftMs, name })}
    >
      <span>{name}</span>
      {startedMs !== undefined && <span className="soft">{words.began(stampText(startedMs, time))}</span>}
    </MenuItem>
  );
  return (
    <>
      <MenuItem isChosen={chosen === null} onChoose={() => onChoose(null)}>
        {words.nothing}
      </MenuItem>
      <MenuRule />
      {fixed.map(item)}
      {offers !== null && offers.shifts.length > 0 && <MenuRule />}
      {offers?.shifts.map(item)}
      {offers !== null && offers.lots.length > 0 && <MenuRule />}
      {offers?.lots.map(item)}
      {asked.state === 'failed' && (
        <MenuItem isDisabled onChoose={() => undefined}>
          {words.failed}
        </MenuItem>
      )}
    </>
  );
}

function useUnderRecords(toMs: number) {
  const ask = useCallback(
    async (signal: AbortSignal) => {
      const stretch = { fromMs: toMs - BACK_MS, toMs };
      const [shifts, lots] = await Promise.all([
        fetchRecords('shifts', stretch, signal),
        fetchRecords('lots', stretch, signal),
      ]);
      return { shifts, lots };
    },
    [toMs],
  );
  return useAnswer(ask);
}
