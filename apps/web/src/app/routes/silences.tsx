export { SilencesScreen as default } from '../../features/signals/ui/silences-screen.js';
