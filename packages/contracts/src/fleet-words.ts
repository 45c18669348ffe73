import type { DeviceKind, DeviceLink, PathTechnology, SystemKind } from '@bellround/acceptance';

// The engines' own words, written once more because contracts take only types from engines; the lines below prove them equal.
type Same<A, B> = (<T>() => T extends A ? 1 : 2) extends (<T>() => T extends B ? 1 : 2) ? true : never;

export const SYSTEM_KINDS = ['intrusion', 'fire', 'hold-up', 'medical', 'co', 'environmental', 'home-automation'] as const;
export const DEVICE_KINDS = [
  'contact', 'motion', 'beam', 'vibration', 'glass-break', 'smoke', 'heat', 'duct-smoke', 'co', 'call-point', 'waterflow',
  'valve-supervisory', 'door-release', 'sounder', 'visual-alarm', 'keypad', 'annunciator', 'key-switch', 'hold-up', 'medical',
  'duress', 'flood', 'temperature', 'gas', 'sound-level', 'camera', 'lock', 'light', 'thermostat', 'plug', 'repeater',
  'radio-module', 'expander', 'enclosure', 'power-supply',
] as const;
export const DEVICE_LINKS = ['wired', 'wireless', 'mesh'] as const;
export const PATH_TECHNOLOGIES = ['ethernet', 'wifi', 'cellular', 'line', 'radio'] as const;
const sameWords: [Same<(typeof SYSTEM_KINDS)[number], SystemKind>, Same<(typeof DEVICE_KINDS)[number], DeviceKind>,
  Same<(typeof DEVICE_LINKS)[number], DeviceLink>, Same<(typeof PATH_TECHNOLOGIES)[number], PathTechnology>] = [true, true, true, true];
void sameWords;

/** What parts live in; harsh: outdoors, damp, dusty, hot, cold or vibrating. */
export const ENVIRONMENTS = ['mild', 'harsh'] as const;
export const OCCUPANCIES = ['home', 'shop', 'office', 'school', 'care', 'warehouse', 'holiday-home', 'hospitality', 'industrial', 'public'] as const;
export const BATTERY_CHEMISTRIES = ['lead-acid-sealed', 'lead-acid-vented', 'nickel-cadmium', 'lithium-primary', 'lithium-ion', 'alkaline'] as const;
export const ACCOUNT_STATES = ['live', 'suspended', 'cancelled'] as const;
export const SUBJECT_KINDS = ['site', 'system', 'device', 'path', 'battery'] as const;
export const VERDICTS = ['pass', 'marginal', 'fail', 'excused', 'not-done'] as const;
export const CONTACT_ROLES = ['permits-entry', 'is-obliged', 'pays', 'is-told', 'holds-keys'] as const;
export const BLACKOUT_KINDS = ['closed', 'noise', 'season', 'suspended'] as const;
