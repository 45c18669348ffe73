export { DutyScreen as default } from '../../features/programmes/ui/duty-screen.js';
