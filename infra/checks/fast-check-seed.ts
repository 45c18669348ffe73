import fc from 'fast-check';

// One seed for every property of a run, so that the same commit gives the same answer everywhere; set FC_SEED to look
// with others (a failing run prints its own seed and path).
fc.configureGlobal({ seed: Number(process.env['FC_SEED'] ?? 20_261_125) });
