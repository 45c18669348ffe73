export { CatchUpScreen as default } from '../../features/programmes/ui/catch-up-screen.js';
