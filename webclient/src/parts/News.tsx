import { beforeSays } from './beforetext.ts'
import { to } from './router.ts'
import {
  applyUpdate,
  before,
  photoIntent,
  photoWanted,
  readBefore,
  storeNotice,
  trouble,
  updateReady,
} from './seam.ts'
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

/** What this browser was before, until somebody has read it. */
function WasBefore() {
  if (!before.value) return null
  return (
    <div class="news flag warn">
      <Sign name="WARN" />
      <span class="grow">{beforeSays(before.value)}</span>
      <button type="button" class="button" onClick={() => void readBefore()}>
        I have read it
      </button>
    </div>
  )
}

/** A camera took the page's memory before its picture came; the picture is in the gallery. */
function PictureWanted() {
  const wanted = photoWanted.value
  if (!wanted) return null
  const where = wanted.step ? to.step(wanted.build, wanted.step) : to.build(wanted.build)
  return (
    <div class="news flag note">
      <span class="grow">
        The camera closed this page before its picture came. Most phones keep it in the gallery:{' '}
        <a href={where}>go to where it belongs</a> and choose it there.
      </span>
      <button type="button" class="button" onClick={() => void photoIntent.drop()}>
        Not needed
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
      <WasBefore />
      <PictureWanted />
      {updateReady.value && <Update />}
    </div>
  )
}
