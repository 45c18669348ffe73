export { ScanScreen as default } from '../../features/fleet/ui/scan-screen.js';
