import { DRIVES } from '../logic/sequence.ts';
import { MACHINES } from '../tags/machine-list.ts';
import { catalogue } from '../catalogue.ts';

/** What can go wrong, what its size means, and on which targets. */
export interface LeverKind {
  readonly about: string;
  /** Unit of the size, or what 1 stands for. */
  readonly size: string;
  /** [''] when it takes the whole plant. */
  readonly targets: readonly string[];
}

const WHOLE_PLANT = [''];
const PUMPS = ['A', 'B', 'C'];
const ELEVATORS = ['Elevator1', 'Elevator2', 'Elevator3'];
const MOTORS = DRIVES.filter((drive) => !drive.includes('.Pump'));
const FANS = DRIVES.filter((drive) => drive.endsWith('.Fan'));
const WITH_PHASES = MACHINES.flatMap(({ name, drives }) =>
  drives.filter((drive) => drive.hasPhases).map(({ prefix }) => (prefix === '' ? name : `${name}.${prefix}`)),
);
const TAGS = catalogue('full').map((entry) => entry.node);
const ANALOGS = catalogue('full').flatMap((entry) => (entry.kind === 'analog' ? [entry.node] : []));
const SCALES = [...ANALOGS.filter((node) => /Flow$|Mass$/.test(node)), 'Bagger.MassTotal'];

export const LEVER_KINDS: Readonly<Record<string, LeverKind>> = {
  'machine-stop': { about: 'a drive stops and is held', size: '1 = stopped', targets: DRIVES },
  'emergency-stop': { about: 'an emergency stop is pressed', size: '1 = pressed', targets: WHOLE_PLANT },
  'plc-restart': { about: 'the controller restarts', size: '1 = restarting', targets: WHOLE_PLANT },
  'feed-surge': { about: 'the feed gate lets more through', size: 'share of set feed', targets: WHOLE_PLANT },
  'wet-lot': { about: 'the lot is wetter', size: 'kg water a kg', targets: WHOLE_PLANT },
  'trashy-lot': { about: 'more trash in the lot', size: 'share more of each', targets: WHOLE_PLANT },
  'screen-blinding': {
    about: 'holes close',
    size: 'share closed',
    targets: ['Scalper', 'AirScreen', 'Sizer'],
  },
  'torn-screen': {
    about: 'seed falls through a tear',
    size: 'share of feed',
    targets: ['AirScreen', 'Sizer'],
  },
  'air-gate-drift': {
    about: 'an air gate moves',
    size: 'points of opening',
    targets: ['AirScreen', 'Aspirator'],
  },
  'deck-belt-slip': {
    about: 'a deck loses strokes',
    size: 'share lost',
    targets: ['Destoner', 'GravityTable'],
  },
  'deck-out-of-tune': { about: 'a deck blurs', size: '1 = badly', targets: ['Destoner', 'GravityTable'] },
  'bearing-wear': { about: 'a bearing wears', size: '1 = about to fail', targets: MOTORS },
  'filter-loading': { about: 'a filter loads', size: '1 = five times the drop', targets: FANS },
  'phase-imbalance': { about: 'a phase draws more', size: 'share of the mean', targets: WITH_PHASES },
  'elevator-slip': { about: 'a leg belt slips', size: 'share of speed lost', targets: ELEVATORS },
  'plugged-leg': { about: 'a leg fills up', size: '1 = full', targets: ELEVATORS },
  'plugged-chute': {
    about: 'a chute plugs',
    size: '1 = plugged',
    targets: ['Scalper', 'AirScreen', 'Sizer', 'GravityTable'],
  },
  'wrong-gate': { about: 'a gate stands wrong', size: '1 = wrong', targets: ['CleanBin', 'LengthGrader'] },
  'scale-span': { about: 'a scale weighs wrong in proportion', size: 'share of reading', targets: SCALES },
  'scale-zero': { about: 'a scale weighs wrong throughout', size: 'in its own unit', targets: SCALES },
  'seed-wheel-span': { about: 'the seed wheel counts wrong', size: 'share of reading', targets: WHOLE_PLANT },
  'pump-air-lock': { about: 'a pump draws air', size: 'share of flow lost', targets: PUMPS },
  'wrong-ratio': { about: 'a product is set wrong', size: 'share more', targets: PUMPS },
  'tank-low': { about: 'a container is nearly empty', size: 'kg left', targets: PUMPS },
  bridging: {
    about: 'sticky seed bridges above the bagger',
    size: 'share of flow lost',
    targets: WHOLE_PLANT,
  },
  'dryer-over-temperature': { about: 'the burner overshoots', size: '°C above set', targets: WHOLE_PLANT },
  'bag-overfill': { about: 'the cut-off comes late', size: 'kg too much', targets: WHOLE_PLANT },
  'frozen-tag': { about: 'a reading stands still', size: '1 = frozen', targets: ANALOGS },
  'bad-status': { about: 'a reading says it is bad', size: '1 uncertain, 2 bad', targets: TAGS },
  'clock-skew': { about: "the controller's clock is off", size: 'ms ahead', targets: WHOLE_PLANT },
};
