// Invented towns, people and premises. None is meant to be anybody or anywhere.
export const TOWNS = [
  { name: 'Ambrelow', lat: 41.92, lon: -4.62 }, { name: 'Corvenna', lat: 41.99, lon: -4.48 }, { name: 'Dunmarrel', lat: 41.83, lon: -4.55 },
  { name: 'Eskwater', lat: 42.05, lon: -4.71 }, { name: 'Fallowdene', lat: 41.87, lon: -4.79 }, { name: 'Grennick', lat: 41.78, lon: -4.68 },
  { name: 'Istervale', lat: 42.08, lon: -4.56 }, { name: 'Jarrowmead', lat: 41.95, lon: -4.86 },
] as const;
export const STREETS = ['Tanner Row', 'Quince Lane', 'Mill Steps', 'Candle Street', 'Old Weir', 'Saltgate', 'Thistle Walk', 'Ropeyard', 'Cooper Hill', 'Almond Court', 'Kiln Road', 'Priory Green'];
export const PREMISES = [
  { kind: 'shop', names: ['Bakery', 'Bookshop', 'Ironmonger', 'Jeweller', 'Pharmacy', 'Greengrocer', 'Bicycle shop'], sleeping: false },
  { kind: 'office', names: ['Surveyors', 'Accountants', 'Print works office', 'Council annexe', 'Dental practice'], sleeping: false },
  { kind: 'home', names: ['House', 'Cottage', 'Farmhouse', 'Apartment'], sleeping: true },
  { kind: 'warehouse', names: ['Grain store', 'Cold store', 'Paper warehouse', 'Tile depot'], sleeping: false },
  { kind: 'school', names: ['Primary school', 'Music school', 'Nursery'], sleeping: false },
  { kind: 'care', names: ['Care home', 'Day centre'], sleeping: true },
  { kind: 'hospitality', names: ['Inn', 'Guest house', 'Canteen'], sleeping: true },
  { kind: 'industrial', names: ['Joinery', 'Foundry', 'Bottling plant'], sleeping: false },
] as const;
export const OWNERS = ['Ilse Marrowby', 'Tobin Ashquill', 'Nadra Quernside', 'Perrin Holloway-Vane', 'Maude Thackerin', 'Oswin Brackley-Fenn', 'Sunniva Dray', 'Calloway Pim', 'Edda Rushlight', 'Jory Wendlow', 'Hester Oxcombe', 'Ruben Skerrow'];
export const CREW = [
  { key: 'T-01', name: 'Wren Calloway', town: 0, skills: ['intrusion', 'fire'], licence: 420, pairOnly: false },
  { key: 'T-02', name: 'Dov Marsh', town: 1, skills: ['intrusion'], licence: null, pairOnly: false },
  { key: 'T-03', name: 'Inga Thornbury', town: 2, skills: ['intrusion', 'fire', 'co'], licence: 18, pairOnly: false },
  { key: 'T-04', name: 'Tam Okoro-Lind', town: 3, skills: ['intrusion'], licence: null, pairOnly: false },
  { key: 'T-05', name: 'Bea Sorrel', town: 4, skills: ['fire', 'co'], licence: 260, pairOnly: false },
  { key: 'T-06', name: 'Halden Frey', town: 0, skills: ['intrusion', 'fire'], licence: 610, pairOnly: false },
  { key: 'T-07', name: 'Pip Larkin-Rose', town: 6, skills: ['intrusion'], licence: null, pairOnly: true },
] as const;
export const ROOMS = ['Hall', 'Counter', 'Store', 'Office', 'Kitchen', 'Landing', 'Cellar', 'Back door', 'Workshop', 'Reception', 'Stair', 'Loft'];
