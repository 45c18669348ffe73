export { DeficienciesScreen as default } from '../../features/deficiencies/ui/deficiencies-screen.js';
