/** Identifiers that this device makes itself (LG1), as RFC 9562 defines them. */

const VERSION_7 = 0x70
const VARIANT = 0x80

function dashed(bytes: Uint8Array): string {
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
}

/**
 * A UUID of version 7: 48 bits of the device's clock in milliseconds, the rest random.
 *
 * A wrong clock costs nothing but the order of names, which nobody relies on (LG10).
 */
export function newId(now: number = Date.now()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16))
  new DataView(bytes.buffer).setUint16(0, Math.floor(now / 2 ** 32))
  new DataView(bytes.buffer).setUint32(2, now % 2 ** 32)
  bytes[6] = VERSION_7 | ((bytes[6] ?? 0) & 0x0f)
  bytes[8] = VARIANT | ((bytes[8] ?? 0) & 0x3f)
  return dashed(bytes)
}
