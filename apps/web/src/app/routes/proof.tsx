export { ProofScreen as default } from '../../features/proof/ui/proof-screen.js';
