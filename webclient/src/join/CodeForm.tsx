import { useState } from 'preact/hooks'
import { secondsLeft } from '../parts/countdown.ts'
import { LONGEST, useDeviceName } from '../parts/DeviceName.tsx'
import { go, to } from '../parts/router.ts'
import { join, syncNow } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { useTick } from '../parts/tick.ts'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import type { Words } from '../parts/words.ts'
import { CodeBox, CodePad } from './CodePad.tsx'
import { isWhole, secondsOf, shownCode } from './code.ts'
import { Page } from './Page.tsx'

const SECOND = 1000
const NOT_WHOLE: Trouble = {
  code: 'not_whole',
  message: 'The code has eight signs. Type those that are missing.',
}
const NO_NAME: Trouble = {
  code: 'no_name',
  message: 'Give this device a name, so that the desk can tell it from the others.',
}

/** How many seconds the shop still asks to wait; 0 when it may be tried. */
function useLock() {
  useTick(SECOND)
  const [until, setUntil] = useState(0)
  const lock = (seconds: number) => setUntil(Date.now() + seconds * SECOND)
  return { wait: secondsLeft(until, Date.now()), lock }
}

/** Joins with the code as it stands; what went wrong leaves it as it is. */
function useJoining(words: Words, name: string) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const { wait, lock } = useLock()
  const failed = (failure: unknown) => {
    lock(secondsOf(failure) ?? 0)
    setTrouble(troubleOf(failure))
  }
  const joined = () => {
    words.drop()
    void syncNow()
    go(to.engines, true)
  }
  const send = () => {
    if (busy || wait > 0) return
    if (name.trim() === '') return setTrouble(NO_NAME)
    setTrouble(null)
    setBusy(true)
    join(words.text)
      .then(joined, failed)
      .finally(() => setBusy(false))
  }
  return { trouble, setTrouble, busy, wait, send }
}

function NameField({ name, change }: { name: string; change: (name: string) => void }) {
  return (
    <div class="field">
      <label for="join-name">What the shop calls this device</label>
      <input
        id="join-name"
        autocomplete="off"
        maxLength={LONGEST}
        aria-describedby="join-name-help"
        value={name}
        onInput={(event) => change(event.currentTarget.value)}
      />
      <span class="help" id="join-name-help">
        “Phone at stand 2”: so the desk tells it from the others, and cuts off the right one if it
        is lost.
      </span>
    </div>
  )
}

interface Typing {
  words: Words
  /** A sign was typed: the screen stays until "Go on", also when the code is whole. */
  begun: () => void
  done: () => void
}

function TypeCode({ words, begun, done }: Typing) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const goOn = (event: Event) => {
    event.preventDefault()
    if (isWhole(words.text)) done()
    else setTrouble(NOT_WHOLE)
  }
  const type = (code: string) => {
    setTrouble(null)
    begun()
    words.type(code)
  }
  return (
    <form class="floor" onSubmit={goOn}>
      <Page
        act={
          <button type="submit" class="button main wide">
            Go on
          </button>
        }
      >
        <CodeBox code={words.text} type={type} />
        <TroubleLine trouble={trouble} />
        <CodePad code={words.text} type={type} />
        <p class="soft">A lead makes the code at the desk, under “Phones”.</p>
      </Page>
    </form>
  )
}

/** What is wrong, in the server's words; while the shop asks to wait, how long that still is. */
function JoinTrouble({ trouble, wait }: { trouble: Trouble | null; wait: number }) {
  return (
    <>
      <TroubleLine trouble={trouble} />
      {wait > 0 && <p>It can be tried again in {wait} s. The code stays here.</p>}
    </>
  )
}

/** The code, the device's name, and in. */
export function CodeForm({ words }: { words: Words }) {
  const [typing, setTyping] = useState(false)
  const { name, change } = useDeviceName()
  const { trouble, setTrouble, busy, wait, send } = useJoining(words, name)
  const submit = (event: Event) => {
    event.preventDefault()
    send()
  }
  if (typing || !isWhole(words.text))
    return (
      <TypeCode
        words={words}
        begun={() => setTyping(true)}
        done={() => {
          setTrouble(null)
          setTyping(false)
        }}
      />
    )
  const act = (
    <button type="submit" class="button main wide" aria-disabled={busy || wait > 0}>
      Join the shop
    </button>
  )
  return (
    <form class="floor" onSubmit={submit}>
      <Page act={act}>
        <JoinTrouble trouble={trouble} wait={wait} />
        <div class="row">
          <p class="code-shown">{shownCode(words.text)}</p>
          <button type="button" class="button plain" onClick={() => setTyping(true)}>
            Change the code
          </button>
        </div>
        <NameField name={name} change={change} />
      </Page>
    </form>
  )
}
