/**
 * The interpreter's script as the browser needs it: without its branches for Node and without its checks of itself, one
 * of which it makes at every crossing between script and wasm (a fifth of the brain's time); with its memory in reach
 * and its own address to be told to a worker (both for the imprint, `src/brain/imprint.js`).
 */
import { type Plugin, parseAst } from 'vite'

const SCRIPT = 'micropython.mjs'
/** Modules of Node that it asks for where it runs in Node. */
const NODE_IMPORT = /\bimport\("(?:fs|module|path|url)"\)/g
/** Where it asks whether it runs in Node, and where whether it was called there by itself. */
const IN_NODE = /\bENVIRONMENT_IS_NODE\b(?!=)|"object"==typeof process(?=&&)/g
/** Where the script takes the wasm's memory for itself. */
const MEMORY = ',wasmMemory=wasmExports.memory,'
const MEMORY_IN_REACH = ',Module._memory=wasmMemory=wasmExports.memory,'
const ADDRESS = '\nexport const address=import.meta.url\n'

interface Node {
  type: string
  start: number
  end: number
  [part: string]: unknown
}

interface Cut {
  start: number
  end: number
  by: string
}

/** What a check may ask without doing anything. */
const ASKS =
  /^(?:Number\.isInteger|Array\.isArray|Buffer\.isBuffer|isNaN|wasmTable\.get|FS\.\w+|Object\.getOwnPropertyDescriptor)$/
const DOES = new Set([
  'AssignmentExpression',
  'AwaitExpression',
  'NewExpression',
  'UpdateExpression',
])
/** Names that it puts up only to say of each that it is not there. */
const LONG_LIST = 100

function partsOf(node: Node): Node[] {
  return Object.values(node)
    .flat()
    .filter((part): part is Node => typeof (part as Node | null)?.type === 'string')
}

/** Whether to work this out changes nothing. */
function onlyAsks(node: Node, code: string): boolean {
  if (DOES.has(node.type) || (node.type === 'UnaryExpression' && node.operator === 'delete'))
    return false
  if (node.type === 'CallExpression' && !ASKS.test(textOf(node.callee as Node, code))) return false
  return partsOf(node).every((part) => onlyAsks(part, code))
}

function textOf({ start, end }: Node, code: string): string {
  return code.slice(start, end)
}

function isCheck(node: Node, code: string): boolean {
  if (node.type !== 'CallExpression' || textOf(node.callee as Node, code) !== 'assert') return false
  return onlyAsks((node.arguments as Node[])[0] as Node, code)
}

function isLongList({ type, elements }: Node): boolean {
  return type === 'ArrayExpression' && (elements as Node[]).length >= LONG_LIST
}

function cutsIn(node: Node, code: string): Cut[] {
  if (isCheck(node, code)) return [{ ...node, by: '0' }]
  if (isLongList(node)) return [{ ...node, by: '[]' }]
  return partsOf(node).flatMap((part) => cutsIn(part, code))
}

function withoutChecks(code: string): string {
  const cuts = cutsIn(parseAst(code) as unknown as Node, code)
  return cuts
    .sort((one, other) => other.start - one.start)
    .reduce((rest, { start, end, by }) => rest.slice(0, start) + by + rest.slice(end), code)
}

/** The script as it is used here, in Node too. One that does not take its memory so is another version, and wants a look. */
export function fitted(code: string): string {
  if (code.split(MEMORY).length !== 2)
    throw new Error(`${SCRIPT} is not the version that this build knows.`)
  return withoutChecks(code.replace(MEMORY, MEMORY_IN_REACH)) + ADDRESS
}

/** The same without what only Node has. */
export function forBrowser(code: string): string {
  return fitted(code).replace(IN_NODE, '!1').replace(NODE_IMPORT, 'Promise.resolve({})')
}

/** The Vite plugin. */
export function interpreter(): Plugin {
  return {
    name: 'standbook-interpreter',
    apply: 'build',
    enforce: 'pre',
    transform: (code, name) => (name.endsWith(SCRIPT) ? forBrowser(code) : null),
  }
}
