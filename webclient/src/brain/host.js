/**
 * Starts MicroPython with the trade package in it. Plain JavaScript, because the browser and the tests'
 * Node run this very file.
 */

/** @typedef {{ path: string, bytes: Uint8Array }} PackedFile */
/**
 * One call, and a rest between calls: the interpreter gives back what it no longer uses.
 * @typedef {((name: string, text: string) => string) & { rest?: () => void }} Call
 */
/**
 * @typedef {object} Interpreter
 * @property {{ mkdirTree(path: string): void, writeFile(path: string, bytes: Uint8Array): void }} FS
 * @property {(name: string) => any} pyimport
 * @property {(code: string) => void} runPython
 * @property {{ _memory?: WebAssembly.Memory }} _module `_memory`: where the build has put it in reach
 */
/** @typedef {(options: { url: string, stdout?: (line: string) => void, stderr?: (line: string) => void }) => Promise<Interpreter>} Loader */

const FORMAT = 2
const NEWLINE = 10
/** On the interpreter's own search path. */
const ROOT = '/lib'
/**
 * Bytes that calls may use up before the interpreter tidies up of itself. It does so at the end of a call and looks at
 * the whole book then; its own habit, after each 16 KB, would put that between a key and its verdict.
 */
const ROOM = 16 * 1024 * 1024

/**
 * The names of a stretch, each as a module has it: a number in groups of seven bits, odd for a name that the interpreter
 * knows, else twice the length of the text that follows with a zero byte.
 * @param {Uint8Array} bytes
 */
function namesIn(bytes) {
  const names = []
  for (let from = 0, at = 0; at < bytes.length; from = at) {
    let value = 0
    let byte = 128
    while (byte > 127) {
      byte = bytes[at++] ?? 0
      value = (value << 7) | (byte & 127)
    }
    if (value % 2 === 0) at += value / 2 + 1
    names.push(bytes.subarray(from, at))
  }
  return names
}

/** @param {Uint8Array[]} pieces */
function joined(pieces) {
  const whole = new Uint8Array(pieces.reduce((length, piece) => length + piece.length, 0))
  let at = 0
  for (const piece of pieces) {
    whole.set(piece, at)
    at += piece.length
  }
  return whole
}

/**
 * Hands out what follows, so much at a time.
 * @template {{ slice(from: number, to: number): T }} T
 * @param {T} whole
 */
function taking(whole) {
  let at = 0
  return (/** @type {number} */ length) => {
    at += length
    return whole.slice(at - length, at)
  }
}

/**
 * The files of a pack, put together again. How it lies is told where it is made (`standbook/packlayout.py`).
 * @param {Uint8Array} pack
 * @returns {PackedFile[]}
 */
export function unpack(pack) {
  const start = pack.indexOf(NEWLINE) + 1
  const head = JSON.parse(new TextDecoder().decode(pack.subarray(0, start)))
  if (head.format !== FORMAT) throw new Error(`A pack of format ${head.format} is not known here.`)
  /** @type {[path: string, beginning: number, names: number, texts: number, code: number][]} */
  const files = head.files
  const all = (/** @type {1 | 2 | 3 | 4} */ part) =>
    files.reduce((length, file) => length + file[part], 0)
  if (pack.length !== start + head.names + all(1) + 2 * all(2) + all(3) + all(4))
    throw new Error('The pack is cut short or has bytes left over.')
  const take = taking(pack.subarray(start))
  const met = namesIn(take(head.names))
  const texts = taking(take(all(3)))
  const [high, low] = [take(all(2)), take(all(2))]
  const beginnings = taking(take(all(1)))
  const codes = taking(take(all(4)))
  let known = 0
  const used = Array.from(high, (byte, at) => {
    const number = byte * 256 + (low[at] ?? 0)
    return /** @type {Uint8Array} */ (met[number === 0 ? known++ : number - 1])
  })
  const names = taking(used)
  return files.map(([path, beginning, count, text, code]) => ({
    path,
    bytes: joined([beginnings(beginning), ...names(count), texts(text), codes(code)]),
  }))
}

/** From so many entries on packing costs less than it saves. */
const MANY = 50
/** Where reading and writing again could make another text of it: other numbers than small whole ones, escapes. */
const UNSURE = /\\u|(?:"\s*:|[[,])\s*-?(?:\d+[.eE]|\d{16})/

/**
 * The question that feeds entries to a book, as JSON text. Each entry is JSON as its device wrote it. Few go in as they
 * are; of many each value goes in once, since a text is dear to the interpreter and a book says the same few again and
 * again (`trade/packing` reads it).
 * @param {string} build
 * @param {{ text: string, seq: number | null }[]} entries
 */
export function feedText(build, entries) {
  const pack = new Pack(build)
  const plain = entries.length < MANY ? entries : entries.filter((entry) => !pack.takes(entry))
  const head = JSON.stringify({ build, seqs: plain.map(({ seq }) => seq) }).slice(0, -1)
  const read = plain.map(({ text }) => text).join(',')
  return `${head},"read":[${read}]${pack.words()}}`
}

/** The fields of an entry as `trade/entry` has them: first those that say something else in nearly each entry. */
const FIELDS = [
  'id',
  'device_no',
  'made_at',
  'seen',
  'kind',
  'step',
  'place',
  'why',
  'person',
  'device',
  'body',
]
const OWN = 4

/** @param {unknown} value */
const isObject = (value) => typeof value === 'object' && value !== null && !Array.isArray(value)

class Pack {
  /** @type {Map<unknown, number>} */
  places = new Map()
  /** @type {Map<string, number>} */
  shared = new Map()
  /** @type {Map<string, number>} */
  forms = new Map()
  /** @type {Map<string, number>} */
  bodies = new Map()
  /** @type {string[]} */
  rows = []
  /** @type {unknown[][]} */
  columns = FIELDS.map(() => [])
  /** @type {(number | null)[]} */
  seqs = []

  /** @param {string} build whose entries it takes */
  constructor(build) {
    this.build = build
  }

  /**
   * Takes an entry in; false for one that may not come out as it was written.
   * @param {{ text: string, seq: number | null }} entry
   */
  takes({ text, seq }) {
    const entry = UNSURE.test(text) ? null : readOrNull(text)
    if (!isObject(entry) || !isObject(entry.body) || entry.build !== this.build) return false
    if (!FIELDS.every((field) => field in entry)) return false
    FIELDS.forEach((field, at) => {
      const value = entry[field]
      const whole = at < OWN ? value : value === entry.body ? this.body(value) : this.place(value)
      this.columns[at]?.push(whole)
    })
    this.seqs.push(seq)
    return true
  }

  /** @param {object} body */
  body(body) {
    const at = numbered(this.bodies, JSON.stringify(body))
    if (at === this.rows.length) {
      const form = numbered(this.forms, JSON.stringify(Object.keys(body)))
      this.rows.push(`[${[form, ...Object.values(body).map((value) => this.place(value))]}]`)
    }
    return at
  }

  /** @param {unknown} value */
  place(value) {
    const at = this.places.get(value) ?? numbered(this.shared, JSON.stringify(value))
    this.places.set(value, at)
    return at
  }

  words() {
    if (!this.seqs.length) return ''
    const [shared, forms] = [[...this.shared.keys()], [...this.forms.keys()]]
    const lists = `"shared":[${shared}],"forms":[${forms}],"bodies":[${this.rows}]`
    return `,"packed":{${lists},"columns":${JSON.stringify(this.columns)},"seqs":${JSON.stringify(this.seqs)}}`
  }
}

/** @param {string} text */
function readOrNull(text) {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

/**
 * The number of a text in a list in which each stands once.
 * @param {Map<string, number>} known @param {string} text
 */
function numbered(known, text) {
  const at = known.get(text) ?? known.size
  if (at === known.size) known.set(text, at)
  return at
}

/**
 * Puts the pack's files where the interpreter looks for modules, and lets it tidy up as seldom as suits us.
 * @param {Interpreter} python
 * @param {PackedFile[]} files
 */
export function equip(python, files) {
  for (const { path, bytes } of files) {
    const file = `${ROOT}/${path}`
    python.FS.mkdirTree(file.slice(0, file.lastIndexOf('/')))
    python.FS.writeFile(file, bytes)
  }
  python.pyimport('gc').threshold(ROOM)
}

/**
 * The package's one entry point.
 * Python exceptions arrive as errors named "PythonError"; anything else means that the interpreter is lost.
 * @param {Interpreter} python
 * @returns {Call}
 */
export function entryOf(python) {
  const gc = python.pyimport('gc')
  const { call } = python.pyimport('trade.calls')
  return Object.assign(
    (/** @type {string} */ name, /** @type {string} */ text) => call(name, text),
    {
      rest: () => gc.collect(),
    },
  )
}

/**
 * Loads the interpreter, writes the package into its file system and returns its one entry point.
 * @param {Loader} load `loadMicroPython`
 * @param {string} wasm address (in Node: path) of the interpreter
 * @param {Uint8Array} pack
 * @returns {Promise<Call>}
 */
export async function startHost(load, wasm, pack) {
  const python = await load({ url: wasm })
  equip(python, unpack(pack))
  return entryOf(python)
}
