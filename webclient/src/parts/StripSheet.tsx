import { useState } from 'preact/hooks'
import { HeldList } from './HeldList.tsx'
import { Sheet } from './Sheet.tsx'
import { StorageSection } from './StorageSection.tsx'
import { strip, syncNow } from './seam.ts'
import { stripExplains } from './striptext.ts'
import { WantedPins } from './WantedPins.tsx'
import { moment } from './when.ts'

/** The strip at length: what lies here only, what the shop holds back and why, how safe it is, and a try at once. */
export function StripSheet({ close }: { close: () => void }) {
  const [tried, setTried] = useState(false)
  const now = () => {
    setTried(true)
    void syncNow()
  }
  return (
    <Sheet title="Your work and the shop" close={close}>
      <div class="stack" role="status">
        {stripExplains(strip.value).map((line) => (
          <p key={line}>{line}</p>
        ))}
        {strip.value.lastContact !== null && (
          <p class="soft">Last contact with the shop: {moment(strip.value.lastContact)}.</p>
        )}
      </div>
      <button type="button" class="button wide" onClick={now}>
        {tried ? 'Try the shop again' : 'Try the shop now'}
      </button>
      <WantedPins />
      <HeldList />
      <StorageSection />
    </Sheet>
  )
}
