export type EventKind =
  | 'fire' | 'intrusion' | 'hold-up' | 'medical' | 'co' | 'environment' | 'tamper' | 'power' | 'path' | 'supervision' | 'device-fault' | 'system'
  | 'opening' | 'bypass' | 'proof' | 'periodic' | 'unknown';

/** Kinds that call somebody to the site; one instead of another sends the wrong help. */
export const alarmKinds: readonly EventKind[] = ['fire', 'intrusion', 'hold-up', 'medical', 'co', 'environment', 'tamper'];

/** Daily business of an account: explains itself and answers no step that did not ask for it. */
export const routineKinds: readonly EventKind[] = ['opening', 'bypass', 'periodic', 'system', 'proof'];

const deviceEvents: Readonly<Record<string, readonly EventKind[]>> = {
  contact: ['intrusion'], motion: ['intrusion'], beam: ['intrusion', 'fire'], vibration: ['intrusion'], 'glass-break': ['intrusion'], 'key-switch': ['opening', 'system'],
  smoke: ['fire'], heat: ['fire'], 'duct-smoke': ['fire'], 'call-point': ['fire'], waterflow: ['fire'], 'valve-supervisory': ['fire'], co: ['co'],
  'hold-up': ['hold-up'], duress: ['hold-up'], medical: ['medical', 'hold-up'], keypad: ['hold-up', 'opening', 'fire', 'medical'],
  flood: ['environment'], temperature: ['environment'], gas: ['environment'], 'sound-level': ['environment'], enclosure: ['tamper'], expander: ['tamper', 'device-fault', 'supervision'], 'radio-module': ['tamper', 'device-fault', 'supervision', 'path'], 'power-supply': ['power', 'tamper'],
};

/** The kinds of event that activating a device must give, for `Step.kinds`; undefined where any will do. Common practice. */
export function kindsOfDevice(deviceKind: string): readonly EventKind[] | undefined {
  return Object.hasOwn(deviceEvents, deviceKind) ? deviceEvents[deviceKind] : undefined;
}

export type CodeWords = { readonly words: string; readonly kind: EventKind };

const c = (kind: EventKind, words: string): CodeWords => ({ kind, words });

/** Contact ID codes in our words. SIA DC-05 (SEEN-R: a general DSP library's table, agreed by two other code tables). */
export const contactIdWords: Readonly<Record<string, CodeWords>> = {
  '100': c('medical', 'medical call'), '110': c('fire', 'fire alarm'), '111': c('fire', 'smoke'), '113': c('fire', 'waterflow'), '114': c('fire', 'heat'), '115': c('fire', 'manual call point'), '116': c('fire', 'duct smoke'),
  '120': c('hold-up', 'panic'), '121': c('hold-up', 'duress'), '130': c('intrusion', 'burglary'), '131': c('intrusion', 'burglary, perimeter'), '137': c('tamper', 'tamper'),
  '141': c('device-fault', 'loop open'), '142': c('device-fault', 'loop short'), '143': c('device-fault', 'expander failed'), '144': c('tamper', 'sensor tamper'), '145': c('tamper', 'expander tamper'), '147': c('supervision', 'sensor supervision lost'),
  '151': c('environment', 'gas'), '154': c('environment', 'water'), '158': c('environment', 'too hot'), '159': c('environment', 'too cold'), '162': c('co', 'carbon monoxide'),
  '200': c('fire', 'fire supervisory'), '203': c('fire', 'valve supervisory'), '300': c('system', 'system trouble'), '301': c('power', 'mains loss'), '302': c('power', 'low battery'), '305': c('system', 'system reset'),
  '307': c('system', 'self-check failed'), '309': c('power', 'battery check failed'), '310': c('power', 'earth fault'), '311': c('power', 'battery missing'), '312': c('power', 'overcurrent'),
  '320': c('device-fault', 'sounder or relay'), '321': c('device-fault', 'bell 1'), '322': c('device-fault', 'bell 2'), '333': c('device-fault', 'expander trouble'), '344': c('path', 'radio jamming'), '350': c('path', 'communication trouble'),
  '351': c('path', 'line 1 fault'), '352': c('path', 'line 2 fault'), '353': c('path', 'radio transmitter fault'), '354': c('path', 'event not delivered'), '355': c('path', 'radio supervision lost'), '356': c('path', 'polling lost'),
  '373': c('device-fault', 'fire loop trouble'), '380': c('device-fault', 'sensor trouble'), '381': c('supervision', 'radio sensor lost'), '382': c('supervision', 'bus sensor lost'), '383': c('tamper', 'sensor tamper'), '384': c('power', 'sensor battery low'),
  '385': c('device-fault', 'smoke detector too sensitive'), '386': c('device-fault', 'smoke detector not sensitive enough'), '389': c('device-fault', 'sensor self-check failed'), '393': c('device-fault', 'maintenance due'),
  '400': c('opening', 'opened or closed'), '401': c('opening', 'opened or closed by user'), '402': c('opening', 'opened or closed, group'), '407': c('opening', 'opened or closed remotely'),
  '570': c('bypass', 'zone bypassed'), '601': c('proof', 'manual check signal'), '602': c('periodic', 'periodic signal'), '603': c('periodic', 'periodic signal by radio'), '604': c('proof', 'fire trial'), '605': c('proof', 'status follows'),
  '606': c('system', 'listen-in follows'), '607': c('proof', 'walk trial'), '608': c('periodic', 'periodic signal, trouble present'), '609': c('system', 'video follows'), '611': c('proof', 'point proven'), '612': c('system', 'point not proven'),
  '613': c('proof', 'intrusion point walked'), '614': c('proof', 'fire point walked'), '615': c('proof', 'panic point walked'), '616': c('system', 'service requested'), '621': c('system', 'log cleared'), '622': c('system', 'log half full'), '623': c('system', 'log nearly full'),
  '624': c('system', 'log overflow'), '625': c('system', 'clock set'), '626': c('system', 'clock wrong'), '627': c('system', 'programming begun'), '628': c('system', 'programming ended'),
};

export type LetterWords = CodeWords & { readonly restore: boolean };
const l = (kind: EventKind, words: string, restore = false): LetterWords => ({ kind, words, restore });

/** SIA letter codes in our words. SIA DC-03 (SEEN-R; BA, FA and their like from memory). */
export const letterWords: Readonly<Record<string, LetterWords>> = {
  RP: l('periodic', 'periodic signal'), RX: l('proof', 'manual check signal'), TX: l('proof', 'check signal'), RY: l('periodic', 'periodic signal, off normal'), TS: l('proof', 'trial begun'), TE: l('proof', 'trial ended', true), TP: l('proof', 'point walked'), TC: l('proof', 'all points walked'),
  TA: l('tamper', 'tamper'), TR: l('tamper', 'tamper', true), TT: l('tamper', 'tamper trouble'), XX: l('path', 'expected signal not received'), XI: l('device-fault', 'sensor reset'), YT: l('power', 'low battery'), YR: l('power', 'low battery', true), YM: l('power', 'battery missing'),
  AT: l('power', 'mains loss'), AR: l('power', 'mains loss', true), XT: l('power', 'sensor battery low'), XR: l('power', 'sensor battery low', true), XQ: l('path', 'radio interference'), XH: l('path', 'radio interference', true), XL: l('path', 'low received signal'),
  YC: l('path', 'communication failed'), YS: l('path', 'communication trouble'), YK: l('path', 'communication', true), YP: l('power', 'supply trouble'), YQ: l('power', 'supply trouble', true), YA: l('device-fault', 'bell fault'), YH: l('device-fault', 'bell fault', true),
  YX: l('system', 'service needed'), YZ: l('system', 'service done', true), LT: l('path', 'line fault'), LR: l('path', 'line fault', true), RR: l('system', 'power up'),
  BA: l('intrusion', 'burglary'), BR: l('intrusion', 'burglary', true), BB: l('bypass', 'zone bypassed'), BU: l('bypass', 'zone bypassed', true), FA: l('fire', 'fire alarm'), FR: l('fire', 'fire alarm', true), HA: l('hold-up', 'hold-up'), HR: l('hold-up', 'hold-up', true),
  PA: l('hold-up', 'panic'), PR: l('hold-up', 'panic', true), MA: l('medical', 'medical call'), MR: l('medical', 'medical call', true), GA: l('environment', 'gas'), GR: l('environment', 'gas', true), WA: l('environment', 'water'), WR: l('environment', 'water', true),
  KA: l('fire', 'heat'), KR: l('fire', 'heat', true), SA: l('fire', 'waterflow'), SR: l('fire', 'waterflow', true), HB: l('bypass', 'hold-up zone bypassed'), OP: l('opening', 'opened'), CL: l('opening', 'closed'), CA: l('opening', 'closed automatically'), CG: l('opening', 'area closed'), NL: l('opening', 'part closed'),
};
