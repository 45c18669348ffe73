export { ReceiversScreen as default } from '../../features/signals/ui/receivers-screen.js';
