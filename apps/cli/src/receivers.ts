import { WrongUse, type TerminalAct } from './act.js';
import { openReceivers } from './open-receivers.js';

export const receivers: TerminalAct = {
  name: 'receivers', usage: 'receivers',
  words: 'Opens the receivers that the companies have set under Receivers and follows their changes; `npm start` runs it. It confirms arrival and dispatches nobody. Ends at Ctrl-C.',
  takes: [0, 0], options: {},
  run: async (_, terminal) => {
    if (!terminal.standing) throw new WrongUse('receivers needs a house that runs');
    const open = await openReceivers({ ...terminal.standing, perform: terminal.perform, now: terminal.now, say: (line) => { process.stdout.write(`${line}\n`); } });
    process.stdout.write('listener ready; arrival is confirmed, nobody is dispatched\n');
    await new Promise<void>((resolve) => {
      for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
      // started by the launcher and the launcher was killed: nobody else will end this process
      process.once('disconnect', () => resolve());
    });
    await open.close();
    return { data: {}, lines: ['listener ended; what was acknowledged is kept'] };
  },
};
