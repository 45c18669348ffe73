export { ExposureScreen as default } from '../../features/exposure/ui/exposure-screen.js';
