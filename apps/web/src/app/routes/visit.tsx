export { VisitScreen as default } from '../../features/visits/ui/visit-screen.js';
