import { shownCode } from './code.ts'
import { install, justInstalled, offer } from './install.ts'
import { Page } from './Page.tsx'
import type { System } from './system.ts'

function Steps({ children }: { children: string[] }) {
  return (
    <ol class="steps">
      {children.map((step) => (
        <li key={step}>{step}</li>
      ))}
    </ol>
  )
}

const ON_IOS = [
  'Tap the share sign: a square with an arrow upwards.',
  'Choose “Add to Home Screen”, then “Add”.',
  'Open Standbook from the home screen, tap “Join the shop”, and type the code there.',
]

/** On an iPhone the app on the home screen has a storage of its own: the code belongs there. */
export function InstallFirst({ code }: { code: string }) {
  return (
    <Page>
      <h2>First put the app on the home screen</h2>
      <p>
        The app there keeps its own book, apart from this tab, and a tab’s book is cleared after
        some days. So the phone joins from there.
      </p>
      <Steps>{ON_IOS}</Steps>
      {code !== '' && (
        <>
          <h3>The code to type there</h3>
          <p class="code-shown">{shownCode(code)}</p>
          <p class="soft">It is good for ten minutes from when the desk made it.</p>
        </>
      )}
    </Page>
  )
}

const BY_MENU: Record<System, string> = {
  android: 'Or open the browser’s menu, and choose “Install app” or “Add to home screen”.',
  ios: '',
  other: 'Or use the sign for installing at the right of the address, or the browser’s menu.',
}

function InstallKey() {
  if (!offer.value) return null
  return (
    <button type="button" class="button main wide" onClick={() => void install()}>
      Install the app
    </button>
  )
}

/** Elsewhere tab and app share one book: installing is better, and not needed to join. */
export function Install({ system, stay }: { system: System; stay: () => void }) {
  const main = !offer.value
  const keys = (
    <>
      <InstallKey />
      <button type="button" class={`button wide ${main ? 'main' : ''}`} onClick={stay}>
        {justInstalled.value ? 'Go on to the code' : 'Go on in this tab'}
      </button>
    </>
  )
  return (
    <Page act={keys}>
      <h2>{justInstalled.value ? 'The app is installed' : 'Install the app'}</h2>
      {justInstalled.value ? (
        <p>From now on open Standbook from the home screen or the list of apps.</p>
      ) : (
        <>
          <p>
            An installed app opens with one tap, also without network, and the browser is slower to
            clear its book.
          </p>
          <p>
            {offer.value ? '' : BY_MENU[system].replace('Or open', 'Open').replace('Or use', 'Use')}
          </p>
        </>
      )}
    </Page>
  )
}
