import { useEffect, useState } from 'preact/hooks'
import {
  type AccessLine,
  accessLines,
  type OpenSession,
  openSessions,
  signOut,
} from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'

/** The lines so far, the newest first, with the way to older ones. */
function useLines() {
  const [lines, setLines] = useState<AccessLine[] | null>(null)
  const [more, setMore] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const find = (before?: string) => {
    accessLines(before).then(
      (page) => {
        setLines((now) => [...(before ? (now ?? []) : []), ...page.lines])
        setMore(page.more)
        setTrouble(null)
      },
      (failure) => setTrouble(troubleOf(failure)),
    )
  }
  useEffect(() => find(), [])
  return { lines, more, trouble, older: () => find(lines?.at(-1)?.id) }
}

function Line({ line }: { line: AccessLine }) {
  return (
    <tr>
      <td>{moment(line.at)}</td>
      <td>
        <strong>{line.words}</strong>
        {line.detail && <span class="soft small line-detail">{line.detail}</span>}
      </td>
      <td>{line.person ?? <span class="soft">nobody known</span>}</td>
      <td>{line.device ?? <span class="soft">browser not known</span>}</td>
      <td>{line.address || <span class="soft">this machine’s terminal</span>}</td>
    </tr>
  )
}

const COLUMNS = ['When', 'What happened', 'Who', 'Phone or browser', 'Network address']

function Lines({ lines }: { lines: AccessLine[] }) {
  return (
    <table class="came-in">
      <caption class="unseen">Who came in, the newest first</caption>
      <thead>
        <tr>
          {COLUMNS.map((words) => (
            <th key={words} scope="col">
              {words}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <Line key={line.id} line={line} />
        ))}
      </tbody>
    </table>
  )
}

function sessionWords({ created_at, last_at, here }: OpenSession): string {
  const which = here ? 'This browser' : 'Another browser'
  return `${which}: signed in ${moment(created_at)}, last used ${here ? 'now' : moment(last_at)}`
}

function OwnSessions() {
  const [list, setList] = useState<OpenSession[]>([])
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  useEffect(() => {
    openSessions().then(setList, (failure) => setTrouble(troubleOf(failure)))
  }, [])
  const leave = () => {
    signOut(true).catch((failure) => setTrouble(troubleOf(failure)))
  }
  return (
    <section class="stack" aria-label="Where you are signed in">
      <h2>Where you are signed in</h2>
      <ul class="plain-list">
        {list.map((one) => (
          <li key={`${one.created_at} ${one.last_at} ${one.here}`}>{sessionWords(one)}</li>
        ))}
      </ul>
      <TroubleLine trouble={trouble} />
      <button type="button" class="button" onClick={leave}>
        Sign out everywhere
      </button>
    </section>
  )
}

/** Sign-ins and misses, phones that joined or were turned away, and what was changed about that. */
export function WhoCameIn() {
  const { lines, more, trouble, older } = useLines()
  return (
    <main class="desk-page stack" id="main">
      <h1>Who came in</h1>
      <p class="soft">
        Sign-ins and misses, phones that joined or were turned away, new passwords. Lines go after
        400 days. A miss does not tell what was typed: it may have been a password.
      </p>
      <OwnSessions />
      <TroubleLine trouble={trouble} />
      {lines?.length === 0 && <p>Nobody has come in yet.</p>}
      {lines && lines.length > 0 && <Lines lines={lines} />}
      {more && (
        <button type="button" class="button" onClick={older}>
          Show older ones
        </button>
      )}
    </main>
  )
}
