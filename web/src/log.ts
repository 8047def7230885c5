// The logbook's document, read with forbearance: what is absent is left out.
export interface LogNight {
  night: string; // date of its evening
  place?: string;
  recordings?: number;
  seeing_arcsec?: number;
  words?: string | string[];
}

export interface Log {
  nights?: LogNight[];
}
