import { existsSync, readFileSync } from 'node:fs';
import { verifyBundleText } from '@bellround/proof';
import { WrongUse, type TerminalAct } from './act.js';

export const verify: TerminalAct = {
  name: 'verify', usage: 'verify <bundle.json>', words: 'Checks a proof bundle without the platform: every record, its place in the log, and the signature.', takes: [1, 1], needsDatabase: false, options: {},
  run: async ({ words }) => {
    if (!existsSync(words[0]!)) throw new WrongUse(`there is no file ${words[0]!}`);
    const verdict = verifyBundleText(readFileSync(words[0]!, 'utf8'));
    return { data: verdict, failed: !verdict.ok, lines: verdict.ok ? ['intact: every record is as it was when it was made'] : ['NOT intact:', ...verdict.failures.map((failure) => `  ${JSON.stringify(failure)}`)] };
  },
};
