import { useEffect, useMemo, useState } from 'preact/hooks'
import { Qr } from '../parts/Qr.tsx'
import { to } from '../parts/router.ts'
import { type Label as Address, buildState, findLabel, shopName } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { isOnlyHere } from './labelwords.ts'

function useLabel(build: string) {
  const [label, setLabel] = useState<Address | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  useEffect(() => {
    findLabel(build).then(setLabel, (failure) => setTrouble(troubleOf(failure)))
  }, [build])
  return { label, trouble }
}

function OnlyHere() {
  return (
    <p class="flag warn">
      <Sign name="WARN" />{' '}
      <span>
        This address opens on this machine alone. Start the shop with “standbook serve” before you
        print labels for phones.
      </span>
    </p>
  )
}

interface Words {
  job: string
  title: string
  label: Address
}

/** What sticks on the engine: nothing of the customer but the word that the shop has for the job. */
function Sticker({ job, title, label }: Words) {
  return (
    <figure class="engine-label">
      <Qr rows={label.qr} says={`QR code: ${label.address}`} />
      <figcaption>
        <span class="label-job">{job}</span>
        <span class="label-title">{title}</span>
        <span>{shopName.value}</span>
        <span class="label-how">Scan it: the engine’s page in the build book opens.</span>
      </figcaption>
    </figure>
  )
}

/** An engine's label, to be printed and put on the stand or the engine: a phone's camera opens its page. */
export function Label({ build }: { build: string }) {
  const state = useMemo(() => buildState(build), [build]).value
  const { label, trouble } = useLabel(build)
  return (
    <main class="desk-page stack" id="main">
      <h1>Label of the engine</h1>
      <TroubleLine trouble={trouble} />
      {label && isOnlyHere(label.address) && <OnlyHere />}
      {label && state && <Sticker job={state.job} title={state.title} label={label} />}
      <p class="soft not-printed">{label?.address}</p>
      <div class="row not-printed">
        <button type="button" class="button main" disabled={!label} onClick={() => print()}>
          Print the label
        </button>
        <a class="button plain" href={to.deskBuild(build)}>
          Back to the engine
        </a>
      </div>
    </main>
  )
}
