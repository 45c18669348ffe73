import { decodeEvent } from '@bellround/signals';
import { Refusal } from '@bellround/contracts';
import { text, type TerminalAct } from './act.js';

export const decode: TerminalAct = {
  name: 'decode-event', usage: 'decode-event <text> [--key <hex>]', words: 'Decodes a Contact ID message (SIA DC-05) or a SIA DC-09 frame and says what it reports.', takes: [1, 1],
  options: { key: { type: 'string', words: 'AES key in hex for an encrypted frame' } },
  run: async ({ words, options }) => {
    const key = text(options['key']);
    const decoded = decodeEvent(words[0]!, { now: null, ...(key ? { keys: () => key } : {}) } as Parameters<typeof decodeEvent>[1]);
    if (!decoded.ok) throw new Refusal('BadInput', decoded.error.words, { data: { error: decoded.error.name } });
    return { data: decoded.value, lines: JSON.stringify(decoded.value, null, 2).split('\n') };
  },
};
