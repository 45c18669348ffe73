export { ClosedDaysScreen as default } from '../../features/programmes/ui/closed-days-screen.js';
