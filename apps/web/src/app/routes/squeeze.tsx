export { SqueezeScreen as default } from '../../features/planning/ui/squeeze-screen.js';
