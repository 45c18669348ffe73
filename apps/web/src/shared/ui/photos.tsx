import { routes } from '@bellround/contracts';
import { addressOf } from '../client.js';
import { phrase } from '../language/index.js';

export interface Photo { readonly attachmentId: string; readonly words: string; readonly when: string }

/** Pictures in a row, each with its words; a tap opens it whole. One that cannot be fetched now says so by its words. */
export function Photos({ of, title }: { of: readonly Photo[]; title: string }) {
  if (of.length === 0) return null;
  return (
    <ul className="photos" aria-label={title}>
      {of.map((photo) => {
        const address = addressOf(routes.attachment, { attachmentId: photo.attachmentId });
        const words = photo.words || phrase('app.picture-without-words');
        return <li key={photo.attachmentId}><a href={address} target="_blank" rel="noreferrer"><img src={address} alt={words} loading="lazy" width={160} height={120} /></a><span className="small">{words}<br /><span className="quiet">{photo.when}</span></span></li>;
      })}
    </ul>
  );
}
