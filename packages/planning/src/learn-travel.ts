import { DEFAULT_TRAVEL, tripMin, type TravelModel } from './travel.js';

/** A past trip: straight-line kilometres, and the minutes from the end of one visit to the beginning of the next. */
export interface PastTrip { readonly km: number; readonly minutes: number }

export interface LearntBand {
  /** Road kilometres up to which it goes. */
  readonly upToKm: number;
  readonly trips: number;
  /** Minutes of driving against the default, in percent; drawn towards that of all trips. */
  readonly percent: number;
}

export interface LearntTravel {
  readonly model: TravelModel;
  readonly trips: number;
  /** All trips' minutes of driving against the default, in percent, drawn towards 100. */
  readonly percent: number;
  readonly bands: readonly LearntBand[];
}

/** A trip at least this many times quicker, or slower, than the model was no drive straight from one to the other (common practice). */
const MOST_TIMES = 3;
/** So many trips weigh as much as what they are drawn to (common practice). */
const DRAWN_AS = 20;
/** A mean pace beyond these says that times were not kept, not that roads are so (common practice). */
const [LEAST, MOST] = [0.6, 2];

/**
 * The travel model as past trips say. Circuity and speed cannot be told apart from times, so speeds take all of it: each band of
 * trip length has its own pace, the median of its trips' ratios, drawn towards the pace of all trips, and that towards 1 (medians,
 * since pauses lie in some trips and never make one shorter). The fixed part stays as it is. No trips: the model as given.
 */
export function learnTravel(trips: readonly PastTrip[], model: TravelModel = DEFAULT_TRAVEL): LearntTravel {
  const used = trips.flatMap(({ km, minutes }) => {
    const road = km * model.circuity;
    const drive = tripMin(km, model) - model.fixedMin;
    const took = minutes - model.fixedMin;
    if (km <= model.nextDoorKm || !(drive >= 2) || !(took > 0) || took > drive * MOST_TIMES || took * MOST_TIMES < drive) return [];
    return [{ road, ratio: Math.log(took / drive) }];
  });
  const all = drawn(used.map((one) => one.ratio), 0);
  let below = 0;
  const bands = model.bands.map((band) => {
    const own = used.filter((one) => one.road > below && one.road <= band.upToKm).map((one) => one.ratio);
    below = band.upToKm;
    return { band, trips: own.length, pace: within(Math.exp(drawn(own, all))) };
  });
  return {
    trips: used.length, percent: Math.round(100 * within(Math.exp(all))),
    bands: bands.map(({ band, trips: count, pace }) => ({ upToKm: band.upToKm, trips: count, percent: Math.round(100 * pace) })),
    model: pacedTravel(bands.map(({ pace }) => Math.round(100 * pace)), model),
  };
}

/** The model with the minutes of each of its bands at so many percent. Throws RangeError for another number of bands. */
export function pacedTravel(percents: readonly number[], model: TravelModel = DEFAULT_TRAVEL): TravelModel {
  if (percents.length !== model.bands.length) throw new RangeError(`${percents.length} percentages are given, accepted are ${model.bands.length}, one for each band`);
  return percents.every((percent) => percent === 100) ? model : { ...model, bands: model.bands.map((band, i) => ({ upToKm: band.upToKm, kmh: (band.kmh * 100) / percents[i] })) };
}

const within = (pace: number): number => Math.max(LEAST, Math.min(MOST, pace));

function drawn(values: readonly number[], to: number): number {
  if (values.length === 0) return to;
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  const median = sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  return (median * values.length + to * DRAWN_AS) / (values.length + DRAWN_AS);
}
