export { ListsScreen as default } from '../../features/fleet/ui/lists-screen.js';
