/** What a transaction is for: the name of the client's function that asked for it, and the tables that it holds. */
let naming = false

/** Names cost a look at the stack: only those who enumerate writes ask for them. */
export function nameWrites(wish) {
  naming = wish
}

const CARRIERS = new Set(['transaction', 'begin', 'write', 'read', 'settle', 'database', 'orBlocked', 'purpose', 'open'])
const FRAME = /at (?:async )?(?:Object\.|Proxy\.)?([\w$.]+) \(/

function callers() {
  const before = Error.stackTraceLimit
  Error.stackTraceLimit = 40
  const { stack } = new Error('where')
  Error.stackTraceLimit = before
  const lines = stack.split('\n').filter((line) => line.includes('page.js'))
  return lines.map((line) => FRAME.exec(line)?.[1].replace(/\$\d+$/, '')).filter(Boolean)
}

export function purpose(tx) {
  if (!naming || tx.mode === 'readonly') return null
  const name = tx.mode === 'versionchange' ? 'upgrade' : callers().find((one) => !CARRIERS.has(one))
  return name ?? '?'
}
