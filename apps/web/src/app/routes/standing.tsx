export { StandingScreen as default } from '../../features/standing/ui/standing-screen.js';
