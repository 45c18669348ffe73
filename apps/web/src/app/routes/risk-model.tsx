export { ModelScreen as default } from '../../features/exposure/ui/model-screen.js';
