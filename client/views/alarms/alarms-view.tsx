import { useApp } from '../../live/app-context.ts';
import { AlarmCountLine, AlarmList, SetAsideList } from '../../parts/alarm-list.tsx';
import { AlarmJournal } from './alarm-journal.tsx';
import './alarms-view.css';

/** What is standing now, and everything that was written about alarms. */
export function AlarmsView() {
  const { texts } = useApp();
  return (
    <div className="alarms-view">
      <h1 className="unseen">{texts.alarms.title}</h1>
      <section className="panel alarms-standing" aria-labelledby="standing-title">
        <div className="alarms-head">
          <h2 id="standing-title">{texts.alarms.active}</h2>
          <AlarmCountLine />
        </div>
        <AlarmList />
        <SetAsideList />
        <p className="alarms-help soft">{texts.alarms.help}</p>
      </section>
      <AlarmJournal />
    </div>
  );
}
