/**
 * A trace in the bar plane, as measured: metres, x forward, y up, real seconds since the clip's first
 * frame. Lost samples are NaN in position and have state 'lost'. All arrays have one entry per frame.
 */
export interface PlaneTrace {
  tS: Float64Array;
  xM: Float64Array;
  yM: Float64Array;
  /** One-sigma measurement standard uncertainties of each sample, metres (not of the smoothed trace). */
  sxM: Float64Array;
  syM: Float64Array;
  /** 0 seen, 1 bridged, 2 lost. */
  state: Uint8Array;
}

/**
 * The bar's motion on an even time base: sample i is at t0S + i * dtS. Positions in metres, velocities
 * in m/s. Entries inside spans in which the bar was lost are NaN.
 */
export interface Motion {
  t0S: number;
  dtS: number;
  xM: Float64Array;
  yM: Float64Array;
  vxMps: Float64Array;
  vyMps: Float64Array;
}
