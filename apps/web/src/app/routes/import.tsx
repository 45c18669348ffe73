export { ImportScreen as default } from '../../features/fleet/ui/import-screen.js';
