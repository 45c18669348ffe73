import { describe, expect, it } from 'vitest';
import { readSettings } from './settings.js';

const TILES = 'https://tiles.example:8443/base/{z}/{x}/{y}.png';

describe('settings of the map', () => {
  it('a tile server is taken with whose map it is', () => {
    expect(readSettings({ MAP_TILES_URL: TILES, MAP_TILES_ATTRIBUTION: 'Tolverne survey', MAP_TILES_MAX_ZOOM: '14' })).toMatchObject({ MAP_TILES_URL: TILES, MAP_TILES_ATTRIBUTION: 'Tolverne survey', MAP_TILES_MAX_ZOOM: 14 });
    expect(readSettings({})).toMatchObject({ MAP_TILES_MAX_ZOOM: 18 });
  });

  it.each([
    [{ MAP_TILES_URL: TILES }, /MAP_TILES_ATTRIBUTION: must be set too/],
    [{ MAP_TILES_URL: 'https://tiles.example/{z}/{x}.png', MAP_TILES_ATTRIBUTION: 'us' }, /MAP_TILES_URL: must name its places/],
    [{ MAP_TILES_URL: 'ftp://tiles.example/{z}/{x}/{y}', MAP_TILES_ATTRIBUTION: 'us' }, /MAP_TILES_URL: must be a URL beginning with http/],
    // what follows the origin would loosen the policy of the pages
    [{ MAP_TILES_URL: "https://tiles.example; script-src */{z}/{x}/{y}", MAP_TILES_ATTRIBUTION: 'us' }, /MAP_TILES_URL/],
    [{ MAP_TILES_URL: TILES, MAP_TILES_ATTRIBUTION: 'us', MAP_TILES_MAX_ZOOM: '40' }, /MAP_TILES_MAX_ZOOM/],
  ])('%j is refused', (environment, words) => { expect(() => readSettings(environment)).toThrow(words); });
});
