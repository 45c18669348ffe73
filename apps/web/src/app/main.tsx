import './quiet-zod.js';
import '@fontsource/atkinson-hyperlegible-next/400.css';
import '@fontsource/atkinson-hyperlegible-next/600.css';
import '@fontsource/atkinson-hyperlegible-next/700.css';
import '../shared/ui/tokens.css';
import '../shared/ui/kit.css';
import './shell.css';
import { speakPlainly } from '@bellround/contracts';
import { QueryClientProvider } from '@tanstack/react-query';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { RouterProvider } from 'react-router/dom';
import { watchConnection } from '../shared/device-outbox.js';
import { createQueryClient } from '../shared/query.js';
import { Region, ToastProvider } from '../shared/ui/index.js';
import { keepAppOnDevice } from './install.js';
import { createRouter } from './router.js';

speakPlainly();
watchConnection();
keepAppOnDevice();
const queries = createQueryClient();
const router = createRouter();

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <Region name="app">
      <QueryClientProvider client={queries}>
        <ToastProvider><RouterProvider router={router} /></ToastProvider>
      </QueryClientProvider>
    </Region>
  </StrictMode>,
);
