/** Transfer characteristics of high dynamic range: hybrid log-gamma and perceptual quantiser (ITU-R BT.2100). */
const highRange = ['arib-std-b67', 'smpte2084'];

/** The light of a nominal white in cd/m², to which linear light is scaled (ITU-R BT.2408 has 203; common practice for viewing on a phone is 100). */
const whiteNits = 100;

/**
 * Filters that bring a picture to an ordinary screen. High dynamic range is mapped where ffmpeg can do it
 * and shown plain, paler, where it cannot.
 *
 * @param transfer as tagged in the clip, null when untagged
 * @param filters what this ffmpeg has
 */
export function displayFilters(transfer: string | null, filters: ReadonlySet<string>): string[] {
  if (transfer === null || !highRange.includes(transfer)) return [];
  if (!filters.has('zscale') || !filters.has('tonemap')) return [];
  return [
    `zscale=transfer=linear:npl=${whiteNits}`,
    'format=gbrpf32le',
    'zscale=primaries=bt709',
    'tonemap=tonemap=hable:desat=0',
    'zscale=transfer=bt709:matrix=bt709:range=tv',
    'format=yuv420p',
  ];
}
