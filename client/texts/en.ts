import { wordsEn } from '../../server/contract/format/words-en.ts';
import { trendsEn } from './en-trends.ts';
import { alarmsEn } from './en-alarms.ts';
import { figuresEn } from './en-figures.ts';
import { machinesEn } from './en-machines.ts';

/**
 * Every text of the pages in English. Another language is a file with the same shape. Sentences about quantities,
 * reasons and alarms are in `server/contract/format`, because the reports use them as well.
 */
export const en = {
  format: wordsEn,

  product: 'Sievewright',
  skipLink: 'Skip to the content',
  views: { line: 'Line', trends: 'Trends', alarms: 'Alarms', machines: 'Machines', field: 'Field' },
  viewsLabel: 'Views',

  opening: 'Asking the server which plant this is …',
  openingFailed: 'The server does not answer. Trying again every two seconds.',
  notFound: 'There is no such page.',
  notFoundBack: 'Go to the line',

  noSafetySystem:
    'This screen only watches. It is no safety system: hard-wired interlocks, the product label and your site’s rules come first.',

  lot: {
    none: 'No lot running',
    lot: 'Lot',
    testWeight: (weight: string) => `test weight ${weight}`,
  },

  link: {
    live: (age: string) => `field live, ${age}`,
    connecting: 'field connecting',
    lost: (since: string) => `field lost since ${since}`,
    none: 'no field link',
    details: 'Field link',
  },

  connection: {
    connecting: 'Waiting for the first values …',
    lost: (since: string) =>
      `No connection to the server since ${since}. Values are not shown until it is back; the plant itself is not affected. What is already on a trend stays readable.`,
    lostBeforeFirst: 'No connection to the server. The plant itself is not affected.',
    back: 'The connection is tried again every two seconds.',
    value: (since: string) => `no connection since ${since}`,
    short: 'not known',
    none: 'no connection',
    outdated: 'The server speaks a newer version than this page.',
    reload: 'Load the page again',
    fieldLost: (endpoint: string, since: string) =>
      `No link to the plant (${endpoint}) since ${since}. Trends, the journal and what other links bring stay usable; watch the line at the machines.`,
    notRecording: (since: string) =>
      `Readings are not being kept since ${since}. Live view and alarms go on. Look at the disk of the server: once it takes them, what waits is written.`,
    waiting: (waiting: string, lost: string) => `${waiting} wait in memory, ${lost} were given up.`,
  },

  acting: {
    button: (name: string) => `Acting: ${name}`,
    buttonNobody: 'Who is acting?',
    title: 'Who is acting?',
    why: 'Whatever is done here is written down with a name. It is kept until this tab is closed.',
    name: 'Your name',
    role: 'Role',
    roles: {
      viewer: 'viewer',
      operator: 'operator',
      maintenance: 'maintenance',
      manager: 'manager',
      engineer: 'engineer',
    },
    onTrust: 'Name and role are taken on trust.',
    use: 'Use this name',
    cancel: 'Cancel',
    forget: 'Forget the name',
    missing: 'Write a name, so that the journal can say who it was.',
  },

  display: {
    button: 'Display',
    title: 'How this screen shows things',
    massRate: 'Mass and rate',
    dose: 'Dose',
    temperature: 'Temperature',
    theme: 'Light',
    themes: { device: 'as the device', light: 'light room', dim: 'dim room' },
    note: 'Kept in this browser only. What is stored stays metric.',
    close: 'Done',
  },

  waiting: 'waiting for the first reading',

  machineState: {
    running: 'running',
    stopped: 'stopped',
    bypassed: 'bypassed',
    unknown: 'not known',
    unmeasured: 'no run contact',
    waiting: 'waiting',
  },

  line: {
    title: (line: string) => `${line}: the line now`,
    ribbon: 'What flows through the line',
    flowIn: 'in',
    flowClean: 'clean',
    flowTreated: 'treated',
    note: {
      width: 'Ribbon width is mass flow',
      factor: (factor: string) => `what leaves is drawn ${factor} times as wide`,
      sameScale: 'what leaves is drawn to the same scale',
      shares: 'Shares are of line feed',
      ratios: 'Shares are of each machine’s own feed',
      assumed: 'Dashed edge: assumed, a reject before it is not measured',
      arrival: (machine: string, time: string) => `Seed entering now reaches ${machine} at about ${time}`,
      arrivalWithBins: (machine: string, time: string) =>
        `Seed entering now reaches ${machine} at about ${time}, plus its time in bins`,
      closes: (share: string) => `Balance closes to ${share}`,
      closureUnknown: (reason: string) => `Balance: ${reason}`,
    },
    ofLineFeed: 'of line feed',
    ofOwnFeed: (machine: string) => `of ${machine} feed`,
    aboveBand: 'above band',
    belowBand: 'below band',
    figures: 'Key figures',
    band: (band: string) => `band ${band}`,
    ofPlanned: (planned: string) => `of ${planned}`,
    lastHalfHour: 'Last 30 minutes',
    openTrends: 'Open in Trends',
    alarmOf: (priority: string) => `${priority} alarm`,
  },

  alarms: alarmsEn,

  figures: figuresEn,

  machines: machinesEn,

  trends: trendsEn,

  field: {
    title: 'Field',
    links: 'Links to the plant',
    endpoint: 'Endpoint',
    state: 'State',
    since: 'Since',
    lastHeard: 'Last heard',
    clock: 'Plant clock',
    because: 'Why',
    states: { connecting: 'connecting', live: 'live', lost: 'lost' },
    never: 'never',
    ago: (age: string) => `${age} ago`,
    clockEven: 'even with ours',
    clockAhead: (age: string) => `${age} ahead of ours`,
    clockBehind: (age: string) => `${age} behind ours`,
    clockUnknown: 'not measured yet',
    noLinks: 'No link is configured.',
    recording: 'Keeping of readings',
    recordingOn: (since: string) => `Readings are kept since ${since}.`,
    recordingOff: (since: string, waiting: number, lost: number) =>
      `Readings are not kept since ${since}: ${waiting} wait, ${lost} were given up.`,
    tags: 'Tags',
    search: 'Find a tag',
    count: (shown: number, all: number) => (shown === all ? `${all} tags` : `${shown} of ${all} tags`),
    noMatch: 'No tag by that name.',
    noValue: 'no value',
    notKnown: 'not known',
    column: { name: 'Name', id: 'Id', value: 'Last value', age: 'Age', quality: 'Quality' },
  },
};

export type Texts = typeof en;
