import { useEffect, useState } from 'preact/hooks'
import { endsAt, secondsLeft, shownTime } from '../parts/countdown.ts'
import { Fingerprint } from '../parts/Fingerprint.tsx'
import { Qr } from '../parts/Qr.tsx'
import { type JoinCode, makeJoinCode } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { useTick } from '../parts/tick.ts'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { type Device, deviceName, joinedSince } from './phonewords.ts'

const SECOND = 1000
/** How long the shop lets a code live. */
const LIFE = 600_000

interface Made extends JoinCode {
  /** By this desk's clock, in ms. */
  until: number
  /** The devices that had joined before. */
  before: string[]
}

function useCode(all: Device[]) {
  const [made, setMade] = useState<Made | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const make = () => {
    setBusy(true)
    makeJoinCode()
      .then((code) => {
        const before = all.filter(({ joined_at }) => joined_at).map(({ id }) => id)
        setMade({ ...code, until: endsAt(code.expires_at, LIFE, Date.now()), before })
        setTrouble(null)
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  const end = () => setMade(null)
  return { made, trouble, busy, make, end }
}

function HowTo() {
  return (
    <ol class="steps">
      <li>Bring the phone into the shop's wifi, and point its camera at the code.</li>
      <li>Compare the fingerprint there with the one here: only the same may be installed.</li>
      <li>Go on as the phone says. Where it asks for the code, type the one below.</li>
    </ol>
  )
}

/** Runs down, and asks for a new code when it is over and somebody looks. */
function TimeLeft({ until, over }: { until: number; over: () => void }) {
  useTick(SECOND)
  const left = secondsLeft(until, Date.now())
  const ended = left === 0 && document.visibilityState === 'visible'
  useEffect(() => {
    if (ended) over()
  }, [ended])
  return (
    <p>
      Good for one phone, for <strong>{shownTime(left)}</strong> more; then a new one comes.
    </p>
  )
}

function CodeCard({ made, make, end }: { made: Made; make: () => void; end: () => void }) {
  return (
    <div class="join-card">
      <Qr rows={made.qr} says={`QR code for the phone's camera: ${made.address}`} />
      <div class="stack">
        <HowTo />
        <p class="code-shown">{made.code}</p>
        <TimeLeft until={made.until} over={make} />
        {made.fingerprint && (
          <div>
            <h2>Fingerprint of the shop's certificate</h2>
            <Fingerprint of={made.fingerprint} />
          </div>
        )}
        <p class="soft small">The same by hand: {made.address}</p>
        <button type="button" class="button" onClick={end}>
          Close
        </button>
      </div>
    </div>
  )
}

function Joined({ device, again }: { device: Device; again: () => void }) {
  return (
    <div class="stack" role="status">
      <p class="flag good">
        <Sign name="safe" /> <strong>{deviceName(device)} has joined.</strong>
      </p>
      <button type="button" class="button" onClick={again}>
        Join another phone
      </button>
    </div>
  )
}

/** Lets a phone into the shop: a code for its camera and for its thumb, good once. */
export function JoinPhone({ all }: { all: Device[] }) {
  const { made, trouble, busy, make, end } = useCode(all)
  const joined = made ? joinedSince(all, made.before) : null
  return (
    <section class="stack" aria-label="Join a phone">
      {!made && (
        <button type="button" class="button main" aria-disabled={busy} onClick={make}>
          Join a phone
        </button>
      )}
      {made && joined && <Joined device={joined} again={make} />}
      {made && !joined && <CodeCard key={made.code} made={made} make={make} end={end} />}
      <TroubleLine trouble={trouble} />
    </section>
  )
}
