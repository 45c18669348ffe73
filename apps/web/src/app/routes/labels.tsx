export { LabelsScreen as default } from '../../features/fleet/ui/labels-screen.js';
