export { LooseEndsScreen as default } from '../../features/planning/ui/loose-ends-screen.js';
