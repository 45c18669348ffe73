export { BatteriesScreen as default } from '../../features/exposure/ui/batteries-screen.js';
