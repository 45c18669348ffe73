/** The round trip, silences and lists of zones against changes of their code: see mutate.mjs. */
import { mutate } from './mutate.mjs';

const ZIP = ['src/zip', 'src/zip-costs'];
const FRAMES = ['published/dc09', 'src/dc09', 'published/codes', 'published/contact-id'];
const specs = {
  zip: ZIP, assignment: ZIP, comb: ['src/comb'], gaps: ['src/gaps', 'src/comb'], incidents: ['src/gaps'], 'zone-lists': ['src/zone-lists'], history: ['src/history'], receiver: ['src/receiver'],
  'contact-id': FRAMES, crc: FRAMES, 'decode-event': FRAMES, dc09: FRAMES,
};

await mutate({ name: 'signals', specs, modules: ['@noble/ciphers/aes.js', '@noble/hashes/hkdf.js', '@noble/hashes/hmac.js', '@noble/hashes/sha2.js', '@noble/hashes/utils.js'] });
