export { SitesScreen as default } from '../../features/fleet/ui/sites-screen.js';
