import { Tab, TabList, TabPanel, TabProvider } from '@ariakit/react';
import { useCallback, useState } from 'react';
import type { AlarmMessage } from '../../../server/contract/alarm-message.ts';
import { byPriority, isSetAside } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import { useStore } from '../../live/use-live.ts';
import { AlarmCountLine } from '../../parts/alarm-list.tsx';
import { AlarmJournal } from './alarm-journal.tsx';
import { AlarmMeasuresPanel } from './alarm-measures.tsx';
import { FloodNote } from './flood-note.tsx';
import { ReplayPanel } from './replay-panel.tsx';
import { ResponseCardPanel } from './response-card.tsx';
import { SetAsideAlarms } from './set-aside-alarms.tsx';
import { StandingAlarms } from './standing-alarms.tsx';
import './alarms-view.css';

const TABS = ['card', 'journal', 'measures', 'replay'] as const;

/** What is standing now, what to do about it, and everything that was written about alarms. */
export function AlarmsView() {
  const { texts, stores } = useApp();
  const alarms = useStore(stores.alarms);
  const [chosenId, setChosenId] = useState<string | null>(null);
  const [tab, setTab] = useState<string>('card');
  const choose = useCallback(({ id }: AlarmMessage) => {
    setChosenId(id);
    setTab('card');
  }, []);
  const chosen = alarms.find(({ id }) => id === chosenId) ?? mostUrgent(alarms);
  const panels = {
    card: <ResponseCardPanel alarm={chosen} />,
    journal: <AlarmJournal />,
    measures: <AlarmMeasuresPanel />,
    replay: <ReplayPanel />,
  };
  return (
    <div className="alarms-view">
      <h1 className="unseen">{texts.alarms.title}</h1>
      <section className="panel alarms-standing" aria-labelledby="standing-title">
        <div className="alarms-head">
          <h2 id="standing-title">{texts.alarms.active}</h2>
          <AlarmCountLine />
        </div>
        <FloodNote />
        <StandingAlarms chosen={chosen} onChoose={choose} />
        <SetAsideAlarms onChoose={choose} />
        <p className="alarms-help soft">{texts.alarms.help}</p>
      </section>
      <section className="panel alarms-about" aria-label={texts.alarms.tabsLabel}>
        <TabProvider selectedId={tab} setSelectedId={(id) => setTab(id ?? 'card')}>
          <TabList className="tabs" aria-label={texts.alarms.tabsLabel}>
            {TABS.map((name) => (
              <Tab key={name} id={name} className="tab">
                {texts.alarms.tabs[name]}
              </Tab>
            ))}
          </TabList>
          {TABS.map((name) => (
            <TabPanel key={name} tabId={name} className="tab-panel" unmountOnHide>
              {panels[name]}
            </TabPanel>
          ))}
        </TabProvider>
      </section>
    </div>
  );
}

function mostUrgent(alarms: readonly AlarmMessage[]): AlarmMessage | null {
  return byPriority(alarms.filter((alarm) => !isSetAside(alarm)))[0] ?? null;
}
