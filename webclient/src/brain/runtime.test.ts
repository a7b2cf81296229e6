import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { loadMicroPython } from '@micropython/micropython-webassembly-pyscript/micropython.mjs'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { beforeAsking, brain } from './brain.ts'
import { BrainFailure } from './failure.ts'
import { type Call, startHost, unpack } from './host.js'
import { brainReady, brainStarts, startBrain, startWith } from './runtime.ts'

const PACK = new URL('../../generated/trade.pack', import.meta.url)
const WASM = '@micropython/micropython-webassembly-pyscript/micropython.wasm'

function answering(call: Call): void {
  startWith(async () => call)
}

function python(kind: string): Error {
  return Object.assign(new Error(`Traceback …\n${kind}: x`), { name: 'PythonError' })
}

beforeEach(() => {
  beforeAsking(async () => {})
})

describe('the facade', () => {
  it('carries JSON text in and out', async () => {
    const call = vi.fn<Call>(() => '{"build": "b", "flags": []}')
    answering(call)
    expect(await brain.state('b')).toEqual({ build: 'b', flags: [] })
    expect(call).toHaveBeenCalledWith('state', '{"build":"b"}')
  })

  it('puts entries into the question as they were written, each once', async () => {
    const call = vi.fn<Call>(() => '{}')
    answering(call)
    const texts = ['{"id":"1","note":"1.0 \\"in\\""}', '{"id":"2","n":1e-7}']
    await brain.add('b', [
      { text: texts[0] as string, seq: 7 },
      { text: texts[1] as string, seq: null },
    ])
    expect(call).toHaveBeenCalledWith(
      'add',
      `{"build":"b","seqs":[7,null],"read":[${texts.join(',')}]}`,
    )
  })

  it.each(['json_broken', 'entries_uncounted'])(
    'asks one by one when together they do not come out whole: %s',
    async (code) => {
      const error = { code, message: 'Not whole.', details: {} }
      const call = vi
        .fn<Call>()
        .mockReturnValue('{}')
        .mockReturnValueOnce(JSON.stringify({ error }))
      answering(call)
      const entries = [{ text: '{"id":"1"}', seq: 7 }]
      await brain.add('b', entries)
      expect(call).toHaveBeenLastCalledWith('add', JSON.stringify({ build: 'b', entries }))
    },
  )

  it('has the interpreter tidy up when nobody asks, never between two keys', async () => {
    vi.useFakeTimers()
    const rest = vi.fn()
    answering(Object.assign(() => '{"flags": []}', { rest }))
    for (let key = 0; key < 5; key++) {
      await brain.state('b')
      vi.advanceTimersByTime(1_000)
    }
    expect(rest).not.toHaveBeenCalled()
    vi.advanceTimersByTime(1_000)
    expect(rest).toHaveBeenCalledTimes(1)
    vi.useRealTimers()
  })

  it('throws the brain’s refusal with its own words', async () => {
    const error = {
      code: 'unknown_step',
      message: 'There is no such step.',
      details: { step: 'x' },
    }
    answering(() => JSON.stringify({ error }))
    const failure = await brain.step('b', 'x').catch((thrown) => thrown)
    expect(failure).toBeInstanceOf(BrainFailure)
    expect(failure).toMatchObject(error)
  })

  it('hands on a preview that carries its own error', async () => {
    const preview = {
      error: { code: 'two_marks', message: 'Two decimal marks.', details: {} },
      slips: [],
    }
    answering(() => JSON.stringify(preview))
    const typed = { text: '2..4', unit: 'in' }
    const asked = {
      build: 'b',
      step: 's',
      place: 'p',
      typed,
      why: 'first',
      instrument: null,
      day: '2026-11-25',
      at: '2026-11-25T08:00:00.000Z',
    } as const
    expect(await brain.preview(asked)).toEqual(preview)
  })

  it('sees to it that the book is open before each question about a build', async () => {
    const order: string[] = []
    beforeAsking(async (build) => void order.push(`bring ${build}`))
    answering((name) => {
      order.push(name)
      return '{}'
    })
    await brain.state('b')
    await brain.catalogue()
    expect(order).toEqual(['bring b', 'state', 'catalogue'])
  })
})

describe('the runtime', () => {
  it('starts once for many calls', async () => {
    const starter = vi.fn(async () => () => '{}')
    startWith(starter)
    await Promise.all([brain.catalogue(), brain.catalogue(), startBrain()])
    expect(starter).toHaveBeenCalledTimes(1)
    expect(brainReady.value).toBe(true)
  })

  it('says that it is not there, and tries again with the next call', async () => {
    const starter = vi.fn<() => Promise<Call>>()
    starter.mockRejectedValueOnce(new Error('404')).mockResolvedValue(() => '{}')
    startWith(starter)
    await expect(brain.catalogue()).rejects.toMatchObject({ code: 'brain_missing' })
    expect(brainReady.value).toBe(false)
    expect(await brain.catalogue()).toEqual({})
  })

  it('lives on after a Python exception', async () => {
    const starter = vi.fn(async () => (name: string) => {
      if (name === 'state') throw python('ValueError')
      return '{}'
    })
    startWith(starter)
    await expect(brain.state('b')).rejects.toMatchObject({ code: 'brain_failed' })
    await brain.catalogue()
    expect(starter).toHaveBeenCalledTimes(1)
  })

  it('starts afresh after the interpreter itself broke down, and counts it', async () => {
    const starter = vi.fn(async () => (name: string) => {
      if (name === 'state') throw new RangeError('memory access out of bounds')
      return '{}'
    })
    startWith(starter)
    await startBrain()
    const before = brainStarts.value
    await expect(brain.state('b')).rejects.toMatchObject({ code: 'brain_failed' })
    expect(brainReady.value).toBe(false)
    await brain.catalogue()
    expect(brainStarts.value).toBe(before + 1)
  })
})

describe('the pack', () => {
  type File = [path: string, beginning: number, names: number, texts: number, code: number]
  const head = (names: number, files: File[], format = 2) =>
    new TextEncoder().encode(`${JSON.stringify({ format, names, files })}\n`)
  const known = [7]
  const ab = [4, 97, 98, 0]

  it('gives its files back, each with its own names', () => {
    const files: File[] = [
      ['trade/a.mpy', 2, 2, 1, 2],
      ['trade/b.mpy', 1, 2, 0, 1],
    ]
    const uses = { high: [0, 0, 0, 0], low: [0, 0, 2, 1] }
    const beginnings = [77, 6, 78]
    const pack = [...known, ...ab, 50, ...uses.high, ...uses.low, ...beginnings, 10, 11, 12]
    expect(unpack(new Uint8Array([...head(5, files), ...pack]))).toEqual([
      { path: 'trade/a.mpy', bytes: new Uint8Array([77, 6, ...known, ...ab, 50, 10, 11]) },
      { path: 'trade/b.mpy', bytes: new Uint8Array([78, ...ab, ...known, 12]) },
    ])
  })

  it('knows names by the thousand and long ones', () => {
    const long = [0x82, 0x10, ...new Array(136).fill(97), 0]
    const met = Array.from({ length: 300 }, (_, at) =>
      at === 299 ? long : [2, at % 250, 0],
    ).flat()
    const files: File[] = [['a', 0, 302, 0, 0]]
    const high = [...new Array(300).fill(0), 1, 0]
    const low = [...new Array(300).fill(0), 44, 1]
    const pack = new Uint8Array([...head(met.length, files), ...met, ...high, ...low])
    expect(unpack(pack)[0]?.bytes).toEqual(new Uint8Array([...met, ...long, 2, 0, 0]))
  })

  it('says when it is cut short or of another format', () => {
    expect(() => unpack(new Uint8Array([...head(0, [['a', 0, 0, 0, 2]]), 7]))).toThrow(/cut short/)
    expect(() => unpack(head(0, [], 1))).toThrow(/format 1/)
  })
})

describe('the real brain', () => {
  it('starts from the built pack and gives the catalogue that the build baked in', async () => {
    const wasm = createRequire(import.meta.url).resolve(WASM)
    startWith(() => startHost(loadMicroPython, wasm, new Uint8Array(readFileSync(PACK))))
    const baked = readFileSync(new URL('../../generated/catalogue.json', import.meta.url), 'utf8')
    expect(await brain.catalogue()).toMatchObject(JSON.parse(baked))
  })
})
