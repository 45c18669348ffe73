import { readFileSync } from 'node:fs';
import { verifyBundleText } from '@bellround/proof';
import { fileAt, type TerminalAct } from './act.js';

export const verify: TerminalAct = {
  name: 'verify', usage: 'verify <bundle.json>', words: 'Checks a proof bundle without the platform: every record, its place in the log, and the signature.', takes: [1, 1], options: {},
  run: async ({ words }) => {
    const verdict = verifyBundleText(readFileSync(fileAt(words[0]!), 'utf8'));
    return { data: verdict, failed: !verdict.ok, lines: verdict.ok ? ['intact: every record is as it was when it was made'] : ['NOT intact:', ...verdict.failures.map((failure) => `  ${JSON.stringify(failure)}`)] };
  },
};
