import { type ImportRunDetail, type ImportUpload, routes } from '@bellround/contracts';
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { upload } from '../../../shared/client.js';
import { useAct, useAsk } from '../../../shared/query.js';
import { fleetKeys } from './keys.js';

export const IMPORTS_PER_PAGE = 20;

export const useImports = (search: string, offset: number) =>
  useAsk(fleetKeys, routes.listImports, { ...(search ? { search } : {}), limit: IMPORTS_PER_PAGE, offset }, { about: ['import'], keep: true });
export const useImportRun = (runId: string) => useAsk(fleetKeys, routes.importRun, { runId }, { about: ['import'] });

/** Sends the file itself; `onProgress` is told the share sent. */
export function useUpload(onProgress: (share: number) => void) {
  const client = useQueryClient();
  return useMutation<ImportRunDetail, Error, { input: ImportUpload; file: File }>({
    mutationFn: ({ input, file }) => upload(routes.uploadImport, input, file, { onProgress }),
    // A kept file changes sites, people, lists and what is owed.
    onSuccess: (run) => { void client.invalidateQueries(run.state === 'kept' ? {} : { queryKey: fleetKeys.route(routes.listImports) }); },
  });
}

export const useDropImport = (onDone: () => void) => useAct(routes.dropImport, { refresh: [fleetKeys.route(routes.listImports), fleetKeys.route(routes.importRun)], onDone });
