import { config } from 'zod';

// The page's content policy forbids making code from text; without this zod tries it once and the browser complains.
config({ jitless: true });
