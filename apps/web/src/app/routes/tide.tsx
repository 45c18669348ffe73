export { TideScreen as default } from '../../features/planning/ui/tide-screen.js';
