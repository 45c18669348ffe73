import type { Programme } from '../programme.js';
import { carbonMonoxide } from './carbon-monoxide.js';
import { companyCareDevices, companyCareFire } from './company-care-devices.js';
import { companyCare } from './company-care.js';
import { fireCodeOfPractice2017, fireCodeOfPractice2025 } from './fire-code-of-practice.js';
import { fireFrequencyTables } from './fire-frequency-tables.js';
import { householdMonitored } from './household.js';
import { intrusionAudible, intrusionCertificated, intrusionMonitored } from './intrusion-graded.js';
import { makerAge } from './maker-age.js';
import { fireCommunicators, transmissionPaths } from './transmission-paths.js';

export {
  carbonMonoxide, companyCare, companyCareDevices, companyCareFire, fireCodeOfPractice2017, fireCodeOfPractice2025, fireCommunicators, fireFrequencyTables, householdMonitored,
  intrusionAudible, intrusionCertificated, intrusionMonitored, makerAge, transmissionPaths,
};

/** Every programme that ships, ready to be cloned. */
export const programmeLibrary: readonly Programme[] = [
  intrusionMonitored, intrusionAudible, intrusionCertificated, fireFrequencyTables, fireCodeOfPractice2017, fireCodeOfPractice2025,
  householdMonitored, carbonMonoxide, transmissionPaths, fireCommunicators, makerAge, companyCare, companyCareDevices, companyCareFire,
];
