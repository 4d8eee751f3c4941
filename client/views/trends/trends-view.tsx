import { TrendPanes } from '../../charts/trend-panes.tsx';
import { useApp } from '../../live/app-context.ts';
import { picked, windowOf, type TimeWindow } from '../../live/trend-view.ts';
import { useReader } from '../../live/use-live.ts';
import { EventDock } from './event-dock.tsx';
import { ExportMenu } from './export-menu.tsx';
import { MarkButton } from './mark-dialog.tsx';
import { MeasureDock } from './measure-dock.tsx';
import { OverviewStrip } from './overview-strip.tsx';
import { SeriesChooser } from './series-chooser.tsx';
import type { TimeEvent } from './time-events.ts';
import { TimeLane } from './time-lane.tsx';
import { TrendRoom } from './trend-room.tsx';
import { TrendToolbar } from './trend-toolbar.tsx';
import { UnderMenu } from './under-menu.tsx';
import { useTakePicture } from './use-take-picture.ts';
import type { TrendDesk, TrendLook } from './use-trend-desk.ts';
import { useTrendsScreen, type TrendsScreen } from './use-trends-screen.ts';
import { ViewsMenu } from './views-menu.tsx';
import './trends-view.css';

/** Any tags and figures over any time, live or past. */
export function TrendsView() {
  const { texts } = useApp();
  const screen = useTrendsScreen();
  const { line, desk, series, panes, measure, opened, open } = screen;
  return (
    <div className="trends-view">
      <h1 className="unseen">{texts.trends.title}</h1>
      <TrendToolbar desk={desk} state={screen.state}>
        <TrendTools screen={screen} />
      </TrendToolbar>
      <SeriesChooser chosen={desk.look.series} onToggle={screen.onToggle} />
      <div className="trends-work">
        <TrendRoom desk={desk} onMeasure={screen.toggleMeasure}>
          {panes.length === 0 ? (
            <p className="trends-empty">{texts.trends.nothing}</p>
          ) : (
            <TrendChart screen={screen} />
          )}
        </TrendRoom>
        <Dock line={line} desk={desk} series={series} opened={opened} open={open} measure={measure} />
      </div>
      <Keys line={line} look={desk.look} />
    </div>
  );
}

/** What can be done with what is shown. */
function TrendTools({ screen }: { readonly screen: TrendsScreen }) {
  const { texts, clock } = useApp();
  const { line, desk, series, state, toggleMeasure } = screen;
  const { look, change, view } = desk;
  const onPicture = useTakePicture(screen);
  return (
    <>
      <ViewsMenu
        choice={() => ({ ...look, view: view.get() })}
        fixedChoice={() => ({ ...look, view: { kind: 'past', ...windowOf(view.get(), clock.nowMs()) } })}
        onShow={desk.show}
      />
      <UnderMenu
        line={line}
        window={state}
        chosen={look.under}
        onChoose={(under) => change((before) => ({ ...before, under }))}
      />
      <button type="button" className="button" aria-pressed={look.measure !== null} onClick={toggleMeasure}>
        {texts.trends.measure.button}
      </button>
      <MarkButton line={line} pointed={screen.pointed} onWritten={screen.again} />
      <ExportMenu series={series} window={state} onPicture={onPicture} />
    </>
  );
}

/** The panes, and below them on the same time axis what happened, and all that is kept. */
function TrendChart({ screen }: { readonly screen: TrendsScreen }) {
  const { line, desk, series, panes, feed, state, cursor, measure, onToggle } = screen;
  return (
    <TrendPanes line={line} panes={panes} feed={feed} cursor={cursor} onPick={measure} onRemove={onToggle}>
      <TimeLane
        line={line}
        window={state}
        events={screen.events}
        segments={screen.segments}
        onOpen={screen.open}
        onShow={({ fromMs, toMs }) => desk.setView((_, nowMs) => picked({ fromMs, toMs: toMs ?? nowMs }))}
      />
      <OverviewStrip series={series[0] ?? ''} window={state} setView={desk.setView} />
    </TrendPanes>
  );
}

interface DockProps {
  readonly line: string;
  readonly desk: TrendDesk;
  readonly series: readonly string[];
  readonly opened: readonly TimeEvent[];
  readonly open: (events: readonly TimeEvent[]) => void;
  readonly measure: (stretch: TimeWindow | null) => void;
}

/** One thing at a time: an event, or what is measured. */
function Dock({ line, desk: { look, setView }, series, opened, open, measure }: DockProps) {
  if (opened.length > 0) {
    return (
      <EventDock
        key={opened[0]?.key}
        line={line}
        series={series}
        events={opened}
        onClose={() => open([])}
        onCentre={(timeMs) => setView((view, nowMs) => centred(windowOf(view, nowMs), timeMs))}
      />
    );
  }
  if (look.measure === null || series.length === 0) return null;
  return (
    <MeasureDock
      line={line}
      series={series}
      stretch={look.measure}
      onChange={measure}
      onZoom={(stretch) => setView(() => picked(stretch))}
    />
  );
}

function Keys({ line, look }: { readonly line: string; readonly look: TrendLook }) {
  const { texts } = useApp();
  return (
    <p id="trends-keys" className="trends-keys soft">
      {look.under !== null && <b className="trends-under">{texts.trends.under.laid(look.under.name)} </b>}
      {texts.trends.keys} <BushelNote line={line} />
    </p>
  );
}

function BushelNote({ line }: { readonly line: string }) {
  const { texts, plant } = useApp();
  const { bushelMassKg, units } = useReader(line);
  const crop = plant.crops.find((one) => one.bushelMassKg === bushelMassKg);
  if (crop === undefined || (units.massRate !== 'bu/h' && units.dose !== 'fl oz/bu')) return null;
  return texts.trends.bushel(crop.name);
}

function centred({ fromMs, toMs }: TimeWindow, timeMs: number) {
  const half = (toMs - fromMs) / 2;
  return picked({ fromMs: timeMs - half, toMs: timeMs + half });
}
