/** The door's words: what to do on which device. */
import type { System } from '../join/system.ts'

export const SYSTEM_NAMES: Record<System, string> = {
  android: 'Android phone or tablet',
  ios: 'iPhone or iPad',
  other: 'Computer',
}

export interface Guide {
  /** Said before the steps; null where there is nothing to say. */
  first: string | null
  key: string
  steps: string[]
  /** Where this device shows the fingerprint of what was installed. */
  check: string
  /** How it is taken off again. */
  off: string
}

export const GUIDES: Record<System, Guide> = {
  android: {
    first:
      'Use the browser that came with the phone, or Chrome: some others do not look at what is installed here.',
    key: 'Download the certificate',
    steps: [
      'Download the certificate with the key above. If the phone says that it has to be installed in the settings, that is right.',
      'Open the phone’s Settings and go to Security (on some: Security & privacy, More security settings).',
      'Encryption & credentials, then “Install a certificate”, then “CA certificate”. Every maker words this a little differently: the settings’ search finds “CA certificate”.',
      'The phone warns that what is sent could be read. That is what trusting means, see below. Choose “Install anyway”, and pick the file standbook-shop.crt from the downloads.',
      'Come back to this page.',
    ],
    check:
      'Settings, Encryption & credentials, Trusted credentials, User: tap the shop’s certificate, and compare its SHA-256 fingerprint with the desk’s.',
    off: 'Settings, Encryption & credentials, Trusted credentials, User.',
  },
  ios: {
    first:
      'This goes only in Safari. If the page is open in another browser, open its address in Safari.',
    key: 'Download the profile',
    steps: [
      'Tap the key above, and “Allow”: the phone downloads a configuration profile.',
      'Open Settings. At the top stands “Profile Downloaded”: tap it, then “Install”, give the phone’s code, and “Install” again.',
      'Now switch it on: Settings, General, About, at the very end “Certificate Trust Settings”. Switch on the shop’s certificate, and “Continue”.',
      'Come back to this page.',
    ],
    check:
      'Before you tap “Install”: “More Details”, the certificate, and at its end the SHA-256 fingerprint. Compare it with the desk’s.',
    off: 'Settings, General, VPN & Device Management, the shop’s profile, “Remove Profile”.',
  },
  other: {
    first: null,
    key: 'Download the certificate',
    steps: [
      'Download the certificate with the key above, and open it.',
      'Windows: “Install Certificate”, “Current User”, “Place all certificates in the following store”: “Trusted Root Certification Authorities”.',
      'macOS: add it to the login keychain, open it in Keychain Access, and under Trust choose “Always Trust”.',
      'Linux, and browsers with a list of their own: the browser’s settings, search for “certificates”, Authorities, Import, and trust it for websites.',
      'Close the browser wholly, open it again, and come back to this page.',
    ],
    check:
      'The details of the opened certificate show its SHA-256 fingerprint. Compare it with the desk’s.',
    off: 'The same list in which it was installed.',
  },
}

/** More than so many ms beside the shop's time, and certificates look not yet good, or good no more. */
const CLOCK_MS = 60 * 60 * 1000

/** What is to be said of this device's clock; null where it goes well. `theirs`: the server's time. */
export function clockSays(theirs: string, now: Date): string | null {
  const ahead = now.getTime() - Date.parse(theirs)
  if (!(Math.abs(ahead) >= CLOCK_MS)) return null
  const shown = `${now.toDateString()}, ${now.toTimeString().slice(0, 5)}`
  return `This device’s clock says ${shown}, which is not the shop’s time. With a wrong clock no certificate is trusted: set date and time to automatic in the settings first.`
}

/** Where "Go on" leads. The code stands behind the "#", which no browser sends anywhere. */
export function goOnTo(origin: string, code: string): string {
  return `${origin}/join${code ? `#${code}` : ''}`
}
