export { ActivityScreen as default } from '../../features/identity/ui/activity-screen.js';
