import { useEffect } from 'react';
import { Link, Route, Switch } from 'wouter';
import { isUnacknowledged } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import { useStore } from '../live/use-live.ts';
import { AlarmsView } from '../views/alarms/alarms-view.tsx';
import { BalanceView } from '../views/balance/balance-view.tsx';
import { FieldView } from '../views/field/field-view.tsx';
import { FigureView } from '../views/figure/figure-view.tsx';
import { LineView } from '../views/line/line-view.tsx';
import { MachineView } from '../views/machines/machine-view.tsx';
import { MachinesView } from '../views/machines/machines-view.tsx';
import { TrendsView } from '../views/trends/trends-view.tsx';
import { ActorPrompt } from './actor-prompt.tsx';
import { ConnectionBanner } from './connection-banner.tsx';
import { PageHeader } from './page-header.tsx';
import './shell.css';

/** The frame around every view: who and where, what is wrong with the connection, and the view itself. */
export function Shell() {
  const { texts } = useApp();
  useTheme();
  useTitleCount();
  return (
    <ActorPrompt>
      <div className="shell">
        <a className="skip-link" href="#content">
          {texts.skipLink}
        </a>
        <PageHeader />
        <ConnectionBanner />
        <main id="content" className="shell-content" tabIndex={-1}>
          <Views />
        </main>
        <footer className="shell-footer">{texts.noSafetySystem}</footer>
      </div>
    </ActorPrompt>
  );
}

function Views() {
  const { texts } = useApp();
  return (
    <Switch>
      <Route path="/" component={LineView} />
      <Route path="/trends" component={TrendsView} />
      <Route path="/alarms" component={AlarmsView} />
      <Route path="/machines" component={MachinesView} />
      <Route path="/machines/:machine" component={MachineView} />
      <Route path="/field" component={FieldView} />
      <Route path="/figure/:id" component={FigureView} />
      <Route path="/balance/:line" component={BalanceView} />
      <Route>
        <p className="shell-lost">
          {texts.notFound} <Link href="/">{texts.notFoundBack}</Link>
        </p>
      </Route>
    </Switch>
  );
}

/** How many alarms wait, in the title of the window, where it is seen from other tabs too. */
function useTitleCount(): void {
  const { texts, stores, plant } = useApp();
  const count = useStore(stores.alarms).filter(isUnacknowledged).length;
  useEffect(() => {
    document.title = texts.alarms.inTitle(count, `${plant.name} · ${texts.product}`);
  }, [texts, count, plant]);
}

/** Puts the reader's theme, or the device's, on the document. */
function useTheme(): void {
  const { theme } = useStore(useApp().preferences);
  useEffect(() => {
    const dark = window.matchMedia('(prefers-color-scheme: dark)');
    const apply = () => {
      const shown = theme === 'device' ? (dark.matches ? 'dim' : 'light') : theme;
      document.documentElement.dataset['theme'] = shown;
    };
    apply();
    dark.addEventListener('change', apply);
    return () => dark.removeEventListener('change', apply);
  }, [theme]);
}
