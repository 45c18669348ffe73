export { CompareScreen as default } from '../../features/planning/ui/compare-screen.js';
