import type { Plugin } from 'vite';

/** The app itself is imported once the language is settled; the page already asks for it, so that the line is not idle meanwhile. */
export function earlyStart(): Plugin {
  return {
    name: 'bellround-early-start',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler(html, { bundle }) {
        const chunks = Object.values(bundle ?? {}).filter((one) => one.type === 'chunk');
        const app = chunks.find((one) => one.facadeModuleId?.endsWith('/app/started.tsx'));
        if (!app) throw new Error('the chunk of app/started.tsx is not in the build: nothing would be asked for early');
        const files = [app.fileName, ...app.imports].filter((file) => !html.includes(file));
        return [
          ...files.map((file) => ({ tag: 'link', attrs: { rel: 'modulepreload', crossorigin: true, href: `/${file}` }, injectTo: 'head' as const })),
          ...[...(app.viteMetadata?.importedCss ?? [])].map((file) => ({ tag: 'link', attrs: { rel: 'stylesheet', crossorigin: true, href: `/${file}` }, injectTo: 'head' as const })),
        ];
      },
    },
  };
}
