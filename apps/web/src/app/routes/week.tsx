export { WeekScreen as default } from '../../features/planning/ui/week-screen.js';
