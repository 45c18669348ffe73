export { ProgrammeScreen as default } from '../../features/programmes/ui/programme-screen.js';
