import { expect, it } from 'vitest'
import { type ReckonInput, readTyped, typedOf } from './reckon.ts'

const INPUT: ReckonInput = {
  key: 'segments',
  words: 'parts of the bolt',
  shape: 'rows',
  required: true,
  signed: true,
  columns: [
    { words: 'length', units: [{ id: 'in', words: 'in' }] },
    { words: 'area', units: [{ id: 'in2', words: 'in²' }] },
    { words: 'name', units: [] },
  ],
  choices: [],
  usual: '',
}

it('has the usual unit of each figure until something is typed', () => {
  expect(typedOf(INPUT, {})).toEqual({ text: '', units: ['in', 'in2', ''] })
  const typed = { text: '1 2', units: ['mm', 'mm2', ''] }
  expect(typedOf(INPUT, { segments: typed })).toEqual(typed)
})

it.each([null, '', '{', '{"text":"half"}', '{"typed":null}', '7', 'null'])(
  'takes %s for nothing typed',
  (kept) => expect(readTyped(kept)).toEqual({}),
)

it('reads what it wrote', () => {
  const typed = { stroke: { text: '3.7', units: ['in'] } }
  expect(readTyped(JSON.stringify({ typed }))).toEqual(typed)
})
