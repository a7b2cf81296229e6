import { describe, expect, it } from 'vitest'
import { entryText, idAndBuild, sight } from './text.ts'

const FIELDS = {
  id: '0190a1b2-0000-7000-8000-000000000001',
  build: '0190a1b2-0000-7000-8000-000000000002',
  kind: 'reading',
  step: null,
  place: null,
  why: null,
  body: { v: 1, note: '"id":"x","build":"y","kind":"' },
  person: 'p',
  device: 'd',
  device_no: 1,
  made_at: '2026-11-01T00:00:00.000Z',
  seen: 0,
  trade_version: '1',
}

describe('id and build of a text', () => {
  it.each([
    ['that this app wrote', entryText(FIELDS)],
    ['in another order', '{"build":"b","id":"i","kind":"reading"}'],
    ['with escapes in its id', '{"id":"\\u0061","build":"b","kind":"reading"}'],
    ['with a letter outside of ASCII', '{"id":"ä","build":"b","kind":"reading"}'],
    ['whose id is no text', '{"id":7,"build":"b","kind":"reading"}'],
    ['without a build', '{"id":"i","kind":"reading"}'],
    ['that is no JSON', '{"id":"i","build":'],
  ])('are what the whole text says, of one %s', (_, text) => {
    const { id, build } = sight(text)
    expect(idAndBuild(text)).toMatchObject({ id, build })
  })
})
