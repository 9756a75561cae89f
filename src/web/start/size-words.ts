/** The size of a file in words: kB of 1000 bytes. */
export function sizeWords(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  const kilo = bytes / 1000;
  if (kilo < 100) return `${kilo.toFixed(1)} kB`;
  return kilo < 999.5 ? `${Math.round(kilo)} kB` : `${(kilo / 1000).toFixed(1)} MB`;
}
