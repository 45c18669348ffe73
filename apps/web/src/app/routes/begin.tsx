export { BeginScreen as default } from '../../features/fleet/ui/begin-screen.js';
