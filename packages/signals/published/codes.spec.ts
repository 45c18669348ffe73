import { describe, expect, it } from 'vitest';
import { checksumDigit, contactIdWords, decodeEvent, encodeDc09, letterWords, type EventKind } from '../src/index.js';

// SIA DC-05 codes (SEEN-R: a general DSP library's table, agreed by two other code tables); what each is about, in our kinds.
const contactId: Readonly<Record<EventKind, readonly string[]>> = {
  fire: ['110', '111', '113', '114', '115', '116', '200', '203'], 'hold-up': ['120', '121'], intrusion: ['130'], environment: ['151', '154', '158', '159'], co: ['162'], tamper: ['137', '144', '145', '383'],
  'device-fault': ['141', '142', '143', '320', '321', '322', '333', '373', '380', '385', '386', '389', '393'], supervision: ['147', '381', '382'], power: ['301', '302', '309', '310', '311', '312', '384'],
  path: ['344', '350', '351', '352', '353', '354', '355', '356'], system: ['300', '305', '307', '606', '609', '612', '616', '621', '622', '623', '624', '625', '626', '627', '628'], bypass: ['570'], periodic: ['602', '603', '608'],
  proof: ['601', '604', '605', '607', '611', '613', '614', '615'], medical: [], opening: [], unknown: [],
};
// SIA DC-03 letters (SEEN-R: open code's table, pairs also in two equipment code maps).
const restores = ['TE', 'TR', 'YR', 'AR', 'XR', 'XH', 'YK', 'YQ', 'YH', 'YZ'];
const begins = ['RP', 'RX', 'TX', 'RY', 'TS', 'TP', 'TC', 'TA', 'TT', 'XX', 'XI', 'YT', 'YM', 'AT', 'XT', 'XQ', 'XL', 'YC', 'YS', 'YP', 'YA', 'YX'];
// Paired in printed maps (SEEN-R).
const pairs = [['RX', '601'], ['RP', '602'], ['TS', '607'], ['AT', '301'], ['YT', '302'], ['LT', '351']] as const;

describe('[SIG-20] published codes', () => {
  it.each(Object.entries(contactId).flatMap(([kind, codes]) => codes.map((code) => [code, kind] as const)))('Contact ID %s is %s', (code, kind) => {
    const report = `1234181${code}01015`;
    expect(decodeEvent(report + checksumDigit(report))).toMatchObject({ ok: true, value: { code, kind, qualifier: 'new' } });
    expect(contactIdWords[code]!.words).not.toMatch(/code|unknown/);
  });
  const letters = (code: string) => decodeEvent(encodeDc09({ token: 'SIA-DCS', sequence: 1, receiver: null, line: '0', account: '1234', data: `#1234|N${code}`, extensions: [], sentAt: null }));
  it.each(restores)('%s is a restore', (code) => expect(letters(code)).toMatchObject({ ok: true, value: { code, qualifier: 'restore' } }));
  it.each(begins)('%s is known and no restore', (code) => {
    expect(letters(code)).toMatchObject({ ok: true, value: { code, qualifier: 'new' } });
    expect(letterWords[code]).toBeDefined();
  });
  it.each(pairs)('%s and %s say the same', (letter, digits) => expect(letterWords[letter]!.kind).toBe(contactIdWords[digits]!.kind));
  it('only periodic codes prove a path by themselves', () => {
    expect(Object.entries(contactIdWords).filter(([, { kind }]) => kind === 'periodic').map(([code]) => code)).toEqual(['602', '603', '608']);
    expect(Object.entries(letterWords).filter(([, { kind }]) => kind === 'periodic').map(([code]) => code).toSorted()).toEqual(['RP', 'RY']);
  });
});
