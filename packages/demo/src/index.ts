export { demoCompanies, DEMO_SEED, DEMO_SIGN_INS, type DemoCompany } from './demo-company.js';
export { seedDemo } from './seed.js';
export { makeSignals, type DemoSignals } from './signals.js';
