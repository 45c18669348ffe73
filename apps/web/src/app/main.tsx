import './quiet-zod.js';
import '@fontsource/atkinson-hyperlegible-next/400.css';
import '@fontsource/atkinson-hyperlegible-next/600.css';
import '@fontsource/atkinson-hyperlegible-next/700.css';
import '../shared/ui/tokens.css';
import '../shared/ui/kit.css';
import './shell.css';
import { speak, wantedLanguage } from '../shared/language/index.js';

// The language first: the app's modules read their words while they are loaded.
await speak(wantedLanguage());
await import('./started.js');
