export { plainWords } from '../../../shared/format.js';
