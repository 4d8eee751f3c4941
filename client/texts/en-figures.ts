import type { FormulaCode, InputRole } from '../../server/contract/figure-provenance.ts';
import type { BalanceVerdict } from '../../server/contract/balance-report.ts';
import type { LagReason } from '../../server/contract/lag-report.ts';

const formulas: Readonly<Record<FormulaCode, string>> = {
  'mean-rate': 'Mass that passed in the window, over the length of the window.',
  total: 'Mass that passed in the window: from the counter where there is one, else the flow added up.',
  'clean-over-feed': 'Clean seed over the feed that it came from: the feed is taken earlier by the lag.',
  'treated-less-liquid-over-feed':
    'Treated seed less the liquid that it holds, over the feed that it came from.',
  'reject-over-machine-feed': 'What the machine took out, over what it was fed.',
  'reject-over-line-feed': 'What the machine took out, over the feed of the line that it came from.',
  'feed-less-clean': 'Feed less clean seed: every reject and loss together, told apart by nobody.',
  'balance-over-feed': 'Feed and liquid in, less all that went out and what bins gained, over the feed.',
  'pump-flow-over-seed': 'What the pumps gave, over the seed that passed the treater.',
  'tank-loss-over-seed': 'What the tank lost, refills left out, over the seed that passed the treater.',
  'share-of-slurry-dose': 'The product’s share of the mix by the recipe, times the dose of the mix.',
  'tank-loss': 'What the tank lost, refills left out.',
  'pump-volume': 'What the pumps gave, added up.',
  'variation-of-doses':
    'How much the dose differed among the parts of the lot: standard deviation over mean.',
  'volume-over-flow': 'What is left in the tank, over what goes out of it.',
  'dry-matter-over-dry-matter':
    'Dry matter of the clean seed over dry matter of the feed: water counts on neither side.',
  'mass-and-two-moistures': 'Mass before drying, and the moisture before and after.',
  'reject-times-good-share': 'What leaves, times the share of good seed in the latest hand sample of it.',
  'lost-times-price': 'Good seed lost, times what it would have sold for, less what the reject sells for.',
  'least-squares': 'What fits all scales and the balances between them best, each as far as it is trusted.',
  'implied-error': 'By how much the instrument would have to be wrong for the balances to close.',
  'newest-reading': 'The newest reading.',
  'gates-against-route': 'Where the gates stand, against the route of the lot.',
  'liquid-against-seed': 'Whether liquid runs, against whether seed runs.',
};

const roles: Readonly<Record<InputRole, string>> = {
  feed: 'feed',
  clean: 'clean seed',
  treated: 'treated seed',
  reject: 'reject',
  seed: 'seed',
  liquid: 'liquid',
  moisture: 'moisture',
  sample: 'hand sample',
  price: 'price',
  recipe: 'recipe',
  gate: 'gate',
  stream: 'stream',
};

const lagReasons: Readonly<Record<LagReason, string>> = {
  'watched-too-short': 'the line has not run this way for long enough',
  'feed-too-steady': 'the feed has hardly changed',
  'does-not-follow': 'the stream does not follow the feed',
  'too-uncertain': 'the readings leave too much room',
};

const verdicts: Readonly<Record<BalanceVerdict, string>> = {
  instrument: 'One instrument does not fit the others.',
  candidates: 'One of these instruments does not fit; the balances cannot tell which.',
  imbalance: 'Imbalance; cannot tell which instrument.',
  fits: 'All scales fit each other.',
  'no-redundancy': 'No balance lies between measured streams: no scale can be checked by another.',
  'not-running': 'The line has not run steadily for the whole window.',
};

/** The texts about why a figure is what it is, and about the balance of a line. */
export const figuresEn = {
  why: 'Why this number?',
  whyOf: (name: string) => `Why this number? ${name}`,
  notFound: 'There is no figure of that name.',
  failed: 'The server did not say where this figure comes from.',
  loading: 'Asking where this figure comes from …',
  back: 'Back to the line',
  openTrend: 'Open in Trends',
  plusMinus: (amount: string) => `± ${amount}`,
  noUncertainty: 'How sure it is cannot be said: the error of an instrument is not stated.',
  covered: (share: string) => `readings cover ${share} of its window`,
  quality: (quality: string) => `quality ${quality}`,
  at: (time: string) => `at ${time}`,
  windows: 'The same over other times',
  formula: 'How it is worked out',
  inputs: 'What it comes from',
  column: {
    role: 'As',
    source: 'Source',
    value: 'Value',
    uncertainty: 'Sure to',
    window: 'Taken over',
    age: 'Newest',
    covered: 'Covered',
    stated: 'Stated error',
  },
  roles,
  formulas,
  windowOf: (from: string, to: string) => `${from} to ${to}`,
  configured: 'from the configuration',
  statedError: (tolerance: string, scatter: string) => `${tolerance}, scatter ${scatter}`,
  notStated: 'not stated',
  causes: 'What makes it uncertain',
  uncertainSources: 'Confidence is 95 %, from what is stated of the instruments.',

  balance: {
    title: (line: string) => `${line}: the balance`,
    link: 'Look at the balance',
    none: 'No balance has been worked out yet: it takes some minutes of steady running.',
    failed: 'The balance could not be read.',
    verdicts,
    suspect: (name: string, error: string, uncertainty: string) =>
      `${name} reads about ${error} (± ${uncertainty}).`,
    high: (amount: string) => `${amount} high`,
    low: (amount: string) => `${amount} low`,
    since: (time: string) => `So since ${time}.`,
    over: (from: string, to: string) => `Over ${from} to ${to}.`,
    closes: (share: string) => `Closes to ${share} of the feed.`,
    note: 'Reconciled flows stand beside the measured ones and replace none of them.',
    stream: 'Stream',
    measured: 'Measured',
    reconciled: 'Reconciled',
    sureTo: 'Sure to',
    checked: 'Can be checked',
    yes: 'yes',
    no: 'not observable',
    notMeasured: 'not measured',
  },
  lag: {
    title: 'How long the seed takes',
    about: 'Counted from the first scale behind the last bin; bins come on top.',
    stream: 'Stream',
    configured: 'Configured',
    seen: 'From the readings',
    verdict: 'Verdict',
    verdicts: { agrees: 'agrees', disagrees: 'does not agree', 'not-known-yet': 'not known yet' },
    because: (verdict: string, reason: string) => `${verdict}: ${reason}`,
    reasons: lagReasons,
    seenText: (lag: string, error: string) => `${lag} ± ${error}`,
  },
};
