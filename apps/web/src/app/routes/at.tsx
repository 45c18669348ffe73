export { LabelPlaceScreen as default } from '../../features/fleet/ui/label-place-screen.js';
