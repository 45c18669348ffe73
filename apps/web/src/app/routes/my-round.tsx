export { MyRoundScreen as default } from '../../features/visits/ui/my-round-screen.js';
