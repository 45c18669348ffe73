export { RecordScreen as default } from '../../features/planning/ui/record-screen.js';
