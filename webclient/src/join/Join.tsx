import { useEffect, useState } from 'preact/hooks'
import { address, go, to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { findJoining, registerWorker, whyNotKept, worksOffline } from '../parts/seam.ts'
import { useWords, type Words } from '../parts/words.ts'
import { CodeForm } from './CodeForm.tsx'
import { codeIn } from './code.ts'
import { Hindered } from './Hindered.tsx'
import { Install, InstallFirst } from './Install.tsx'
import { isInstalled, thisBrowser } from './install.ts'
import { Page } from './Page.tsx'
import { type Stage, stageOf } from './stage.ts'
import { isInAnotherApp, systemOf } from './system.ts'

/** The code behind the address becomes a draft, and leaves the address: nobody finds it there later. */
function useCodeFromAddress(words: Words): void {
  useEffect(() => {
    const take = () => {
      const code = codeIn(location.hash)
      if (code === '' || address.value.path !== to.join) return
      words.type(code)
      go(to.join, true)
    }
    take()
    addEventListener('hashchange', take)
    return () => removeEventListener('hashchange', take)
  }, [])
}

/** Whether the shop has a network to join; null while it has not said. `ask`: asks once more. */
function useNetwork() {
  const [network, setNetwork] = useState<boolean | null>(null)
  const ask = () => {
    // Out of reach: the code is asked for all the same, and the joining itself says what is wrong.
    findJoining().then((found) => setNetwork(found.network), console.info)
  }
  useEffect(ask, [])
  return { network, ask }
}

function Looking() {
  return (
    <Page>
      <p aria-busy="true">Looking whether this device trusts the shop …</p>
    </Page>
  )
}

function NothingToJoin() {
  return (
    <Page
      act={
        <a class="button main wide" href={to.engines}>
          To the engines
        </a>
      }
    >
      <p>
        The shop is served on this machine alone, so there is nothing to join. For a network of
        phones its server is started with “standbook serve”.
      </p>
    </Page>
  )
}

interface Parts {
  stage: Stage
  words: Words
  again: () => void
  stay: () => void
}

function AtStage({ stage, words, again, stay }: Parts) {
  if (stage === 'looking') return <Looking />
  if (stage === 'nothing to join') return <NothingToJoin />
  if (stage === 'install first') return <InstallFirst code={words.text} />
  if (stage === 'install') return <Install system={systemOf(thisBrowser())} stay={stay} />
  if (stage === 'code') return <CodeForm words={words} />
  return <Hindered by={stage} again={again} />
}

/** A device joins the shop: what it needs for that first, then the code. */
export function Join() {
  const words = useWords('join/code')
  useCodeFromAddress(words)
  const { network, ask } = useNetwork()
  const [inTab, setInTab] = useState(false)
  const again = () => {
    ask()
    void registerWorker()
  }
  const browser = thisBrowser()
  const stage = stageOf({
    system: systemOf(browser),
    inAnotherApp: isInAnotherApp(browser),
    installed: isInstalled(),
    kept: worksOffline.value,
    whyNot: whyNotKept.value,
    inTab,
    network,
  })
  return (
    <div class="standing">
      <StandHead title="Join the shop" />
      <AtStage stage={stage} words={words} again={again} stay={() => setInTab(true)} />
    </div>
  )
}
