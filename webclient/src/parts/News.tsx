import { applyUpdate, storeNotice, trouble, updateReady } from './seam.ts'
import { Sign } from './signs.tsx'

function Update() {
  return (
    <div class="news">
      <span class="grow">A new version of the app is here.</span>
      <button type="button" class="button" onClick={applyUpdate}>
        Use it now
      </button>
    </div>
  )
}

/** What everybody on this device should know: the store's trouble, the judge's trouble, a new version that waits. */
export function News() {
  const words = [storeNotice.value?.message, trouble.value?.message].filter((line) => line)
  return (
    <div class="news-place" role="status">
      {[...new Set(words)].map((line) => (
        <p key={line} class="news flag warn">
          <Sign name="WARN" /> <span>{line}</span>
        </p>
      ))}
      {updateReady.value && <Update />}
    </div>
  )
}
