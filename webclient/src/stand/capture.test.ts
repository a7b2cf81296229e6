import { effect } from '@preact/signals'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import type { Instrument, PlaceView, Preview, ValueView } from '../brain/types.ts'
import type { Around, ReadingToKeep } from './around.ts'
import { Capture } from './capture.ts'

const place = {
  id: 'p1',
  kind: 'length',
  unit: 'in',
  units: ['in', 'mm'],
  next_why: 'first',
} as PlaceView

function preview(more: Partial<Preview> = {}): Preview {
  const plain = { error: null, value: null, slips: [], values: [], verdict: 'in', severity: null }
  return { ...plain, sentence: '', ask: false, ...more } as Preview
}

const turn = { id: 'turn', message: 'One turn away.', offer: { text: '2.5758', unit: 'in' } }
const out = {
  id: 'clearance',
  verdict: 'out',
  sentence: 'Out: 0.0036 against 0.0030.',
} as ValueView
let drafts: Map<string, string>
let kept: ReadingToKeep[]
let answer: Preview
let around: Around

beforeEach(() => {
  drafts = new Map()
  kept = []
  answer = preview()
  around = {
    build: 'b',
    step: 's',
    preview: async () => answer,
    previewNow: () => null,
    keep: async (reading) => kept.push(reading),
    strike: async () => undefined,
    saveDraft: async (key, text) => void drafts.set(key, text),
    loadDraft: async (key) => drafts.get(key) ?? null,
    dropDraft: async (key) => void drafts.delete(key),
    unitFor: async () => 'in',
    cautions: () => ['hands'],
    bad: () => [],
    kept: vi.fn(async () => undefined),
  }
})

async function standing(digits = ''): Promise<Capture> {
  const capture = new Capture(around)
  await capture.open(place)
  if (digits !== '') capture.type(digits)
  return capture
}

describe('what the brain says at once', () => {
  it('stands in the same picture as the digits, and nobody asks again', async () => {
    around.previewNow = () => answer
    around.preview = vi.fn(async () => answer)
    const capture = await standing()
    const pictures: [string, boolean][] = []
    const away = effect(() => {
      pictures.push([capture.text.value, capture.preview.value !== null])
    })
    capture.press('2')
    away()
    expect(pictures).toEqual([
      ['', false],
      ['2', true],
    ])
    expect(around.preview).not.toHaveBeenCalled()
    expect(JSON.parse(drafts.get('b/s/p1') ?? '').text).toBe('2')
  })

  it('is asked for in the usual way where it fails', async () => {
    around.previewNow = () => {
      throw new Error('broken')
    }
    const capture = await standing('2')
    await vi.waitFor(() => expect(capture.preview.value).toBe(answer))
    await capture.next()
    expect(kept).toHaveLength(1)
  })
})

describe('half a number', () => {
  it('is a draft at every keystroke and is there again when the place is opened', async () => {
    await standing('2.57')
    expect(JSON.parse(drafts.get('b/s/p1') ?? '')).toMatchObject({ text: '2.57', unit: 'in' })
    const again = await standing()
    expect(again.text.value).toBe('2.57')
  })

  it('stays in the box when the phone cannot keep the reading, with a sentence', async () => {
    around.keep = async () => {
      throw Object.assign(new Error('This device has no room left.'), { code: 'storage_full' })
    }
    const capture = await standing('2.5758')
    await capture.next()
    expect(capture.text.value).toBe('2.5758')
    expect(capture.trouble.value?.message).toBe('This device has no room left.')
    expect(capture.busy.value).toBe(false)
  })

  it('says so when not even the draft can be kept', async () => {
    around.saveDraft = async () => {
      throw Object.assign(new Error('Full.'), { code: 'storage_full' })
    }
    const capture = await standing('2')
    await vi.waitFor(() => expect(capture.trouble.value?.message).toBe('Full.'))
    expect(capture.text.value).toBe('2')
  })
})

describe('a question that is left without an answer', () => {
  const early = { id: 'finding.early', message: 'Wait.', offer: null }

  it('leaves typed digits in the box', async () => {
    answer = preview({ ask: true, slips: [early] })
    const capture = await standing('2.5')
    await capture.next()
    capture.leave()
    expect([capture.ask.value, capture.text.value, kept]).toEqual([null, '2.5', []])
  })

  it('leaves nothing of what a key picked, nor its pulls, for what comes next', async () => {
    answer = preview({ ask: true, slips: [early] })
    const capture = await standing()
    await capture.put({ text: 'yes', unit: null }, 10)
    expect(capture.ask.value?.about).toBe('slip')
    capture.leave()
    expect(capture.text.value).toBe('')
    answer = preview()
    capture.type('2.5758')
    await capture.next()
    expect(kept[0]?.body).toMatchObject({ value: { text: '2.5758' } })
    expect(kept[0]?.body).not.toHaveProperty('pulls')
  })
})

describe('keeping a reading', () => {
  it('keeps exactly what was typed, with its unit and the reason', async () => {
    const capture = await standing('2.57580')
    await capture.next()
    expect(kept).toHaveLength(1)
    expect(kept[0]).toMatchObject({
      place: 'p1',
      why: 'first',
      draft: 'b/s/p1',
      body: {
        v: 1,
        value: { text: '2.57580', unit: 'in' },
        not_measured: null,
        cautions: ['hands'],
      },
    })
    expect(capture.text.value).toBe('')
    expect(around.kept).toHaveBeenCalledWith('p1')
  })

  it('keeps nothing from an empty box and says what to do', async () => {
    const capture = await standing()
    await capture.next()
    expect(kept).toHaveLength(0)
    expect(capture.trouble.value?.code).toBe('empty')
  })

  it('keeps nothing that the brain cannot read, and leaves the digits', async () => {
    answer = preview({ error: { code: 'not_a_number', message: 'Two points.', details: {} } })
    const capture = await standing('2..5')
    await capture.next()
    expect(kept).toHaveLength(0)
    expect(capture.trouble.value?.message).toBe('Two points.')
    expect(capture.text.value).toBe('2..5')
  })

  it('names the reading that was typed wrong', async () => {
    const capture = await standing('2.5758')
    capture.because({ why: 'typed_wrong', corrects: 'r1' })
    await capture.next()
    expect(kept[0]).toMatchObject({ why: 'typed_wrong', body: { corrects: 'r1' } })
    expect(capture.reason.value).toBeNull()
  })

  it('keeps one reading for two quick thumbs', async () => {
    const capture = await standing('2.5758')
    await Promise.all([capture.next(), capture.next()])
    expect(kept).toHaveLength(1)
  })
})

describe('a hand that is quicker than the disk', () => {
  const second = { ...place, id: 'p2' } as PlaceView

  async function quick(): Promise<Capture> {
    const capture = await standing()
    around.kept = async (id) => {
      if (id === 'p1') await capture.open(second)
    }
    return capture
  }

  it('loses no digit: what is typed meanwhile lands in the next place', async () => {
    const capture = await quick()
    capture.type('2.5758')
    const keeping = capture.next()
    for (const digit of '2.5') capture.meanwhile(digit)
    await keeping
    expect(kept.map((reading) => reading.place)).toEqual(['p1'])
    expect(capture.place.value?.id).toBe('p2')
    expect(capture.text.value).toBe('2.5')
    expect(JSON.parse(drafts.get('b/s/p2') ?? '')).toMatchObject({ text: '2.5' })
  })

  it('may press Next for it already', async () => {
    const capture = await quick()
    capture.type('2.5758')
    const keeping = capture.next()
    for (const key of ['2', '.', '6'] as const) capture.press(key)
    void capture.next()
    await keeping
    expect(kept.map(({ place: id, body }) => [id, (body as { value: object }).value])).toEqual([
      ['p1', { text: '2.5758', unit: 'in' }],
      ['p2', { text: '2.6', unit: 'in' }],
    ])
  })

  it('keeps two values apart that both came before the first was on the disk', async () => {
    const capture = await quick()
    around.kept = async (id) => {
      await capture.open({ ...place, id: `p${Number(id.slice(1)) + 1}` })
    }
    capture.type('1')
    const keeping = capture.next()
    for (const value of ['2', '3']) {
      for (const digit of value) capture.meanwhile(digit)
      void capture.next()
    }
    capture.meanwhile('4')
    capture.meanwhile('5')
    capture.meanwhile(null)
    await keeping
    expect(kept.map(({ body }) => (body as { value: { text: string } }).value.text)).toEqual([
      '1',
      '2',
      '3',
    ])
    expect(capture.place.value?.id).toBe('p4')
    expect(capture.text.value).toBe('4')
  })

  it('writes nothing into a box that a question holds open', async () => {
    answer = preview({ slips: [turn], ask: true })
    const capture = await quick()
    capture.type('2.6008')
    const keeping = capture.next()
    capture.meanwhile('5')
    await keeping
    expect(capture.text.value).toBe('2.6008')
    expect(kept).toHaveLength(0)
  })
})

describe('a likely slip', () => {
  it('is asked about and changes no digit by itself', async () => {
    answer = preview({ slips: [turn], ask: true })
    const capture = await standing('2.6008')
    await capture.next()
    expect(capture.ask.value).toEqual({ about: 'slip', slips: [turn] })
    expect(capture.text.value).toBe('2.6008')
    expect(kept).toHaveLength(0)
  })

  it('puts the offered digits into the box only when they are taken, and Next keeps them', async () => {
    answer = preview({ slips: [turn], ask: true })
    const capture = await standing('2.6008')
    await capture.next()
    capture.takeOffer(turn.offer)
    expect(capture.text.value).toBe('2.5758')
    expect(kept).toHaveLength(0)
    answer = preview()
    await capture.next()
    expect(kept[0]?.body).toMatchObject({ value: { text: '2.5758', unit: 'in' }, confirmed: [] })
  })

  it('is not argued about again once it was found so', async () => {
    answer = preview({ slips: [turn], ask: true })
    const capture = await standing('2.6008')
    await capture.next()
    await capture.foundSo('')
    expect(kept[0]?.body).toMatchObject({ value: { text: '2.6008' }, confirmed: ['turn'] })
    capture.type('2.6008')
    await capture.next()
    expect(kept).toHaveLength(2)
  })
})

describe('an answer', () => {
  it('outlives the page: the same digits are not asked about again', async () => {
    answer = preview({ slips: [turn], ask: true })
    const capture = await standing('2.6008')
    await capture.next()
    around.keep = async () => {
      throw new Error('the phone died')
    }
    await capture.foundSo('')
    const again = await standing()
    around.keep = async (reading) => kept.push(reading)
    await again.next()
    expect(again.ask.value).toBeNull()
    expect(kept[0]).toMatchObject({ body: { confirmed: ['turn'] } })
  })

  it('to a limit does not: it is nothing without its note', async () => {
    answer = preview({ ask: true, values: [out] })
    const capture = await standing('0.0036')
    await capture.next()
    around.keep = async () => {
      throw new Error('the phone died')
    }
    await capture.foundSo('measured three times')
    const again = await standing()
    await again.next()
    expect(again.ask.value?.about).toBe('limit')
  })

  it('holds for its digits alone', async () => {
    answer = preview({ slips: [turn], ask: true })
    const capture = await standing('2.6008')
    await capture.next()
    around.keep = async () => {
      throw new Error('the phone died')
    }
    await capture.foundSo('')
    const again = await standing()
    again.type('2.6009')
    await again.next()
    expect(again.ask.value?.about).toBe('slip')
  })
})

describe('a value out of limits', () => {
  it('is kept with the note and the answer', async () => {
    answer = preview({ ask: true, values: [out] })
    const capture = await standing('0.0036')
    await capture.next()
    expect(capture.ask.value).toMatchObject({
      about: 'limit',
      sentence: 'Out: 0.0036 against 0.0030.',
    })
    await capture.foundSo('measured three times')
    expect(kept[0]?.body).toMatchObject({ confirmed: ['out'], note: 'measured three times' })
  })

  it('measured again empties the box and keeps the first number in sight', async () => {
    answer = preview({ ask: true, values: [out] })
    const capture = await standing('0.0036')
    await capture.next()
    capture.measureAgain()
    expect(capture.text.value).toBe('')
    expect(capture.tried.value).toEqual(['0.0036'])
    expect(kept).toHaveLength(0)
    const again = await standing()
    expect(again.tried.value).toEqual(['0.0036'])
  })

  it('asks about the slip and the limit one after the other, the note at the end', async () => {
    answer = preview({ slips: [turn], ask: true, values: [out] })
    const capture = await standing('2.6008')
    await capture.next()
    await capture.foundSo('')
    expect(capture.ask.value).toMatchObject({ about: 'limit' })
    await capture.foundSo('so it is')
    expect(kept[0]?.body).toMatchObject({ confirmed: ['turn', 'out'], note: 'so it is' })
  })
})

describe('the gauge in hand', () => {
  const gauge = { id: 'g1', kind: 'outside_micrometer' } as Instrument

  it('goes into the reading of a size', async () => {
    const capture = await standing('2.5758')
    capture.useInstrument(gauge)
    await capture.next()
    expect(kept[0]?.body).toMatchObject({ instrument: gauge })
  })

  it('does not go into a temperature', async () => {
    const capture = new Capture(around)
    await capture.open({ ...place, kind: 'temperature' })
    capture.useInstrument(gauge)
    capture.type('68')
    await capture.next()
    expect(kept[0]?.body).toMatchObject({ instrument: null })
  })
})

describe('a key of a guided step', () => {
  it('writes at the place that the thumb saw, whichever stands open behind it', async () => {
    const capture = await standing()
    await capture.putAt({ ...place, id: 'E2', kind: 'choice' }, { text: 'yes', unit: null })
    expect(kept.map((one) => one.place)).toEqual(['E2'])
  })

  it('does nothing while the last tap is being kept', async () => {
    const capture = await standing()
    await Promise.all([
      capture.putAt(place, { text: '2.5758', unit: 'in' }),
      capture.putAt({ ...place, id: 'E2' }, { text: '2.5759', unit: 'in' }),
    ])
    expect(kept.map((one) => one.place)).toEqual([place.id])
  })
})

describe('a pass of the torque wrench', () => {
  it('names the wrench in hand and how many fasteners it pulled; what is said next names none', async () => {
    const capture = await standing()
    capture.useInstrument({ id: 'w' } as Instrument, 'wrench')
    await capture.open({ ...place, kind: 'choice' })
    await capture.put({ text: 'all', unit: null }, 10)
    await capture.put({ text: 'yes', unit: null })
    await capture.open({ ...place, kind: 'wrench' })
    await capture.put({ text: 'TW-1', unit: null }, 0)
    expect(kept.map(({ body }) => body)).toMatchObject([
      { instrument: { id: 'w' }, pulls: 10 },
      { instrument: null },
      { instrument: { id: 'w' }, pulls: 0 },
    ])
    expect(kept[1]?.body).not.toHaveProperty('pulls')
  })
})

describe('a gauge for each quantity', () => {
  it('goes into the reading of its own kind of place', async () => {
    const capture = await standing()
    const [micrometer, wrench] = [{ id: 'm' }, { id: 'w' }] as Instrument[]
    capture.useInstrument(micrometer ?? null)
    capture.useInstrument(wrench ?? null, 'torque')
    await capture.open({ ...place, kind: 'torque' })
    capture.type('75')
    await capture.next()
    await capture.open({ ...place, kind: 'temperature' })
    capture.type('68')
    await capture.next()
    await capture.open(place)
    capture.type('2.5758')
    await capture.next()
    expect(kept.map(({ body }) => body)).toMatchObject([
      { instrument: { id: 'w' } },
      { instrument: null },
      { instrument: { id: 'm' } },
    ])
  })
})

describe('what was not measured', () => {
  it('is kept with its reason and without a value', async () => {
    const capture = await standing()
    await capture.notMeasured('no gauge at hand')
    expect(kept[0]?.body).toMatchObject({ value: null, not_measured: 'no gauge at hand' })
  })
})

describe('without a judge', () => {
  it('asks whether to keep the reading unjudged, and keeps it on yes', async () => {
    const capture = await standing('2.5758')
    around.preview = async () => {
      throw Object.assign(new Error('The judge could not be loaded.'), { code: 'brain' })
    }
    await capture.next()
    expect(capture.ask.value).toMatchObject({ about: 'unjudged' })
    expect(kept).toHaveLength(0)
    await capture.foundSo('')
    expect(kept).toHaveLength(1)
  })
})
