import { qrBox, qrPath } from './qrpath.ts'

/** A QR code; black on white also by night, since many cameras read no other. `says`: what it holds, for the ear. */
export function Qr({ rows, says }: { rows: string[]; says: string }) {
  return (
    <svg class="qr" viewBox={qrBox(rows)} role="img" aria-label={says} shape-rendering="crispEdges">
      <rect x="-4" y="-4" width="100%" height="100%" fill="#fff" />
      <path d={qrPath(rows)} fill="#000" />
    </svg>
  )
}
