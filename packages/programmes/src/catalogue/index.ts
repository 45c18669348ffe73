import type { CheckDefinition } from '@bellround/acceptance';
import { controlChecks } from './controls.js';
import { deviceChecks } from './devices.js';
import { fireSignalChecks } from './fire-signals.js';
import { fireChecks } from './fire.js';
import { pathChecks } from './paths.js';
import { powerChecks } from './power.js';
import { sensorChecks } from './sensors.js';
import { visitChecks } from './visit.js';

/** Every check that Bellround knows. Data with sources; local codes and licensed practice prevail. */
export const catalogue: readonly CheckDefinition[] = [...powerChecks, ...pathChecks, ...deviceChecks, ...sensorChecks, ...controlChecks, ...fireChecks, ...fireSignalChecks, ...visitChecks];

const byKey: ReadonlyMap<string, CheckDefinition> = new Map(catalogue.map((definition) => [definition.key, definition]));

/** The definition of a check, or undefined for a key that the catalogue does not know. */
export function checkDefinition(key: string): CheckDefinition | undefined {
  return byKey.get(key);
}

/** The quick set: every check that needs no activation, no hold and no sound; the restoring check is not part of it. */
export const quickSet: readonly CheckDefinition[] = catalogue.filter((d) => !d.activation && !d.needsHold && !d.sounds && !d.restores);

export { catalogueProblems } from './validate.js';
export { furtherLimits, type FurtherLimit } from './further-limits.js';
export { limitsTable } from './limits-table.js';
