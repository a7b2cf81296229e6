/** Web Locks for Node, as far as the client uses them: one holder, the others wait in line; stealing, giving up. */

interface Wish {
  run: () => void
}

const lines = new Map<string, { held: boolean; waiting: Wish[] }>()

function lineOf(name: string) {
  const line = lines.get(name) ?? { held: false, waiting: [] }
  lines.set(name, line)
  return line
}

function free(name: string): void {
  const line = lineOf(name)
  const next = line.waiting.shift()
  line.held = next !== undefined
  next?.run()
}

function turn(name: string, signal?: AbortSignal): Promise<void> {
  const line = lineOf(name)
  if (!line.held) {
    line.held = true
    return Promise.resolve()
  }
  return new Promise((run, reject) => {
    const wish = { run }
    line.waiting.push(wish)
    signal?.addEventListener('abort', () => {
      line.waiting = line.waiting.filter((other) => other !== wish)
      reject(signal.reason)
    })
  })
}

async function request(
  name: string,
  options: { signal?: AbortSignal; steal?: boolean } | (() => Promise<unknown>),
  work?: () => Promise<unknown>,
): Promise<unknown> {
  if (typeof options === 'function') return request(name, {}, options)
  if (options.steal) return work?.()
  await turn(name, options.signal)
  try {
    return await work?.()
  } finally {
    free(name)
  }
}

export const locks = { request }
