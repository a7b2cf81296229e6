import { fingerprintLines } from './fingerprint.ts'

/** The fingerprint of the shop's certificate authority, as it is compared from screen to screen. */
export function Fingerprint({ of }: { of: string }) {
  return (
    <p class="fingerprint">
      {fingerprintLines(of).map((line) => (
        <span key={line}>{line}</span>
      ))}
    </p>
  )
}
