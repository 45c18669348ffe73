export { OverdueScreen as default } from '../../features/standing/ui/overdue-screen.js';
