/** An 8-bit grey picture, row-major, no padding; the centre of the top-left pixel is (0, 0). */
export interface GreyImage {
  width: number;
  height: number;
  data: Uint8Array;
}
