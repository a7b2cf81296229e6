/**
 * Runs named tests of the client on a copy of its sources with a fault in it: `node client_trials.mjs COPY`.
 *
 * One trial a line comes in, its verdicts go out as a line. One vitest stays up for all of them; each test file gets a
 * thread of its own, so that nothing of one trial reaches the next.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { createInterface } from 'node:readline'
import { pathToFileURL } from 'node:url'

const [copy] = process.argv.slice(2)
const root = resolve(copy, 'webclient')
const { createVitest } = await import(pathToFileURL(resolve(root, 'node_modules/vitest/dist/node.js')).href)

const vitest = await createVitest('test', {
  root,
  config: resolve(root, 'vite.config.ts'),
  watch: false,
  reporters: [{}],
  pool: 'threads',
  maxWorkers: 1,
  fileParallelism: false,
})

function write(texts) {
  for (const [path, text] of Object.entries(texts)) {
    const file = resolve(copy, path)
    writeFileSync(file, text)
    vitest.invalidateFile(file)
  }
}

function pattern(titles) {
  const literal = titles.map((title) => title.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'))
  return new RegExp(literal.join('|'))
}

function verdict(test) {
  const { state, errors } = test.result()
  return { state, errors: (errors ?? []).map((error) => `${error.name}: ${error.message}`.slice(0, 300)) }
}

/** `tests`: a file and, after `::`, a part of a test's title. */
async function run(tests) {
  const named = tests.map((test) => test.split('::'))
  vitest.setGlobalTestNamePattern(pattern(named.map(([, title]) => title)))
  const files = [...new Set(named.map(([file]) => resolve(copy, file)))]
  const specifications = files.map((file) => vitest.getRootProject().createSpecification(file))
  const { testModules } = await vitest.runTestSpecifications(specifications)
  const found = {}
  for (const module of testModules.filter(({ moduleId }) => files.includes(moduleId))) {
    const trouble = module.errors().map(({ message }) => message)
    if (trouble.length) return { trouble: trouble.join('\n') }
    const file = module.moduleId.slice(resolve(copy).length + 1)
    for (const test of module.children.allTests()) {
      if (test.result().state !== 'skipped') found[`${file}::${test.fullName}`] = verdict(test)
    }
  }
  return { tests: found }
}

/** `files`: the texts with a fault in them, by path. The copy is whole again afterwards. */
async function trial({ files, tests }) {
  const whole = Object.keys(files).map((path) => [path, readFileSync(resolve(copy, path), 'utf8')])
  write(files)
  try {
    return await run(tests)
  } finally {
    write(Object.fromEntries(whole))
  }
}

for await (const line of createInterface({ input: process.stdin })) {
  const answer = await trial(JSON.parse(line)).catch((error) => ({ trouble: String(error) }))
  process.stdout.write(`${JSON.stringify(answer)}\n`)
}
await vitest.close()
process.exit(0)
