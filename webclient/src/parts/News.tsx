import type { ComponentChildren } from 'preact'
import { beforeSays } from './beforetext.ts'
import { address, to } from './router.ts'
import {
  applyUpdate,
  before,
  type PhotoPlace,
  photoIntent,
  photoWanted,
  readBefore,
  storeNotice,
  trouble,
  trust,
  updateReady,
} from './seam.ts'
import { Sign, tone } from './signs.tsx'

interface Notice {
  sign: 'WARN' | 'NOTE'
  words: string
  /** The keys that answer it. */
  children: ComponentChildren
}

function Notice({ sign, words, children }: Notice) {
  return (
    <div class={`news ${tone(sign)}`}>
      <p class="flag">
        <Sign name={sign} /> <span>{words}</span>
      </p>
      <div class="row">{children}</div>
    </div>
  )
}

function Update() {
  return (
    <Notice sign="NOTE" words="A new version of the app is here.">
      <button type="button" class="button" onClick={applyUpdate}>
        Use it now
      </button>
    </Notice>
  )
}

/** What this browser was before, until somebody has read it. */
function WasBefore() {
  if (!before.value) return null
  return (
    <Notice sign="WARN" words={beforeSays(before.value)}>
      <button type="button" class="button" onClick={() => void readBefore()}>
        I have read it
      </button>
    </Notice>
  )
}

const WANTED =
  'The camera closed this page before its picture came. Most phones keep it in the gallery: choose it there, where it belongs.'

/** Where the keys for its pictures are: at the place under the hand, below the step's table, on the engine's page. */
function whereOf({ build, step, place }: PhotoPlace): string {
  if (step === null) return to.build(build)
  return place === null ? to.step(build, step, 'table') : to.step(build, step)
}

/** A camera took the page's memory before its picture came; the picture is in the gallery. */
function PictureWanted() {
  const wanted = photoWanted.value
  if (!wanted) return null
  return (
    <Notice sign="NOTE" words={WANTED}>
      <a class="button" href={whereOf(wanted)}>
        Go where it belongs
      </a>
      <button type="button" class="button plain" onClick={() => void photoIntent.drop()}>
        Not needed
      </button>
    </Notice>
  )
}

const NOT_JOINED =
  'This device has not joined the shop, so nothing goes there or comes from there. What is recorded here is kept and goes to the shop once it has joined.'

/** The shop lets in only devices that have joined. */
function NotJoined() {
  if (trust.value !== 'not joined' || address.value.path === to.join) return null
  return (
    <Notice sign="WARN" words={NOT_JOINED}>
      <a class="button" href={to.join}>
        Join the shop
      </a>
    </Notice>
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
      <NotJoined />
      <WasBefore />
      <PictureWanted />
      {updateReady.value && <Update />}
    </div>
  )
}
