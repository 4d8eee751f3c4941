import { describe, expect, it } from 'vitest';
import { simulatorArguments } from '#simulator/arguments.ts';

describe('simulatorArguments', () => {
  it('runs soybean on a fully measured plant at true speed when told nothing', () => {
    expect(simulatorArguments([])).toMatchObject({
      port: 48_400,
      controlPort: 48_401,
      crop: 'soybean',
      profile: 'full',
      run: 'one-run',
      speed: 1,
      hz: 1,
      warmMinutes: 30,
      synthetic: 0,
    });
  });

  it.each([
    [['--port', '0'], 'SIM_ARGUMENT --port: got 0, expected 1 to 65535; simulator not started'],
    [['--port', '1.5'], 'SIM_ARGUMENT --port: got 1.5, expected a whole number; simulator not started'],
    [['--hz', '50'], 'SIM_ARGUMENT --hz: got 50, expected 1 to 20; simulator not started'],
    [['--speed', ''], 'SIM_ARGUMENT --speed: got nothing, expected 0.1 to 1000; simulator not started'],
    [
      ['--crop', 'rye'],
      'SIM_ARGUMENT --crop: got rye, expected one of soybean, wheat, corn; simulator not started',
    ],
    [
      ['--profile', 'rich'],
      'SIM_ARGUMENT --profile: got rich, expected one of full, typical, poor; simulator not started',
    ],
  ])('refuses %j and says why', (argv, message) => {
    expect(() => simulatorArguments(argv)).toThrow(message);
  });

  it('refuses an option it does not know and lists those it does', () => {
    expect(() => simulatorArguments(['--bogus'])).toThrow(
      "SIM_ARGUMENT command line: got Unknown option '--bogus', expected --port",
    );
  });
});
