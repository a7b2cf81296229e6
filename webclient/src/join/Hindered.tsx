import { Sign } from '../parts/signs.tsx'
import { Page } from './Page.tsx'
import type { Hindrance } from './stage.ts'

interface Says {
  what: string
  doing: string[]
}

const TO_THE_DOOR =
  'Scan the QR code at the desk again, and do its step 2: “Trust the shop’s server”. It says what to tap on this device.'

const SAYS: Record<Hindrance, Says> = {
  'in another app': {
    what: 'This page is open inside another app.',
    doing: [
      'Such a page cannot be kept, and what is recorded in it would be lost.',
      'Open its menu and choose “Open in browser”, or scan the QR code at the desk with the camera.',
    ],
  },
  'not trusted': {
    what: 'This phone does not trust the shop’s certificate yet.',
    doing: [
      'A warning that was tapped away is not enough: without trust the browser does not keep the app, and the stand would not work without network.',
      TO_THE_DOOR,
    ],
  },
  'not secure': {
    what: 'This phone does not trust the shop’s certificate yet.',
    doing: [
      'The app was opened by an address that no browser trusts. It works only under the shop’s own name.',
      TO_THE_DOOR,
    ],
  },
  'not reached': {
    what: 'The shop’s server is not in reach.',
    doing: ['Join the shop’s wifi, then try again. A code that you have typed stays here.'],
  },
  'not allowed': {
    what: 'This browser does not keep the app.',
    doing: [
      'Is this a private window, or are cookies and site data switched off? Open the page in an ordinary window.',
      `Else the shop’s certificate is not trusted yet. ${TO_THE_DOOR}`,
    ],
  },
}

function BackKey() {
  if (history.length < 2) return null
  return (
    <button type="button" class="button wide" onClick={() => history.back()}>
      Back to where I came from
    </button>
  )
}

/** What is in the way of joining, in plain words, and the way round it. */
export function Hindered({ by, again }: { by: Hindrance; again: () => void }) {
  const { what, doing } = SAYS[by]
  const keys = (
    <>
      {by !== 'not reached' && by !== 'in another app' && <BackKey />}
      {by !== 'in another app' && (
        <button type="button" class="button main wide" onClick={again}>
          Try again
        </button>
      )}
    </>
  )
  return (
    <Page act={by === 'in another app' ? undefined : keys}>
      <div role="alert" class="stack">
        <h2 class="flag stop">
          <Sign name="out" /> <span>{what}</span>
        </h2>
        {doing.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </div>
    </Page>
  )
}
