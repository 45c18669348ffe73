export { ProgrammesScreen as default } from '../../features/programmes/ui/programmes-screen.js';
