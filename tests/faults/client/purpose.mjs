/**
 * What a transaction is for: module and top-level function of the client that asked for it.
 *
 * The bundler notes in the bundle which lines are of which module; the stack tells the line.
 */
let client = null

/** Names cost a look at the stack: only those who enumerate writes ask for them. */
export function nameWrites(code) {
  client = code ? numbered(code) : null
}

const MODULE = /^\t?\/\/ (.*)\.(?:ts|js|mjs)$/
const OURS = /webclient\/src\/(.*)$/
const FUNCTION = /^\t?(?:async )?function\*? (\w+)\(/

/** For each line of the bundle the module and the function that it lies in. */
function numbered(code) {
  let [module, name] = [null, null]
  return code.split('\n').map((line) => {
    const heading = MODULE.exec(line)
    if (heading) [module, name] = [OURS.exec(heading[1])?.[1] ?? null, null]
    name = FUNCTION.exec(line)?.[1]?.replace(/\$\d+$/, '') ?? name
    return module && name ? { module, name } : null
  })
}

function asker() {
  const before = Error.stackTraceLimit
  Error.stackTraceLimit = 40
  const { stack } = new Error('where')
  Error.stackTraceLimit = before
  const lines = [...stack.matchAll(/today\.js:(\d+):/g)].map(([, line]) => client[Number(line) - 1])
  return lines.find((at) => at && at.module !== 'store/connection')
}

export function purpose(tx) {
  if (!client || tx.mode === 'readonly') return null
  if (tx.mode === 'versionchange') return 'store/schema.upgrade'
  const at = asker()
  return at ? `${at.module}.${at.name}` : '?'
}
