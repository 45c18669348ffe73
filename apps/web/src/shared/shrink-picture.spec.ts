import { describe, expect, it } from 'vitest';
import { fitted, shrinkPicture } from './shrink-picture.js';

describe('a camera’s picture', () => {
  it.each([[4000, 3000, 2400, { width: 2400, height: 1800 }], [3000, 4000, 1200, { width: 900, height: 1200 }], [800, 600, 2400, { width: 800, height: 600 }], [4000, 1, 1200, { width: 1200, height: 1 }]])('%i by %i fits %i', (width, height, px, expected) => {
    expect(fitted(width, height, px)).toEqual(expected);
  });

  it('is left alone when it is small enough', async () => {
    const file = new File([new Uint8Array(1000)], 'door.jpg', { type: 'image/jpeg' });
    expect(await shrinkPicture(file)).toBe(file);
  });
});
