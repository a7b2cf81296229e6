import { beforeEach, expect, it, vi } from 'vitest'

const voice = (name: string, lang: string, localService: boolean) =>
  ({ name, lang, localService }) as SpeechSynthesisVoice

let kept: Map<string, string>
let spoken: string[]

beforeEach(() => {
  vi.resetModules()
  vi.unstubAllGlobals()
  kept = new Map()
  spoken = []
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, text: string) => kept.set(key, text),
  })
  vi.stubGlobal(
    'SpeechSynthesisUtterance',
    class {
      constructor(readonly text: string) {}
    },
  )
})

function speaksWith(...voices: SpeechSynthesisVoice[]): void {
  vi.stubGlobal('speechSynthesis', {
    getVoices: () => voices,
    cancel: () => spoken.push('-'),
    speak: (said: { text: string; voice: { name: string } }) =>
      spoken.push(`${said.voice.name}: ${said.text}`),
  })
}

it('reads back with a voice of the phone alone, and only when it is switched on', async () => {
  speaksWith(voice('cloud', 'en-US', false), voice('own', 'en-GB', true))
  const { say, setFeel } = await import('./feel.ts')
  say('upright 0.0022')
  expect(spoken).toEqual([])
  setFeel({ voice: true })
  say('upright 0.0022')
  expect(spoken).toEqual(['-', 'own: upright 0.0022'])
})

it('offers no voice where all of them live elsewhere or speak another language', async () => {
  speaksWith(voice('cloud', 'en-US', false), voice('own', 'de-DE', true))
  const { canSpeak, say, setFeel } = await import('./feel.ts')
  setFeel({ voice: true })
  say('upright 0.0022')
  expect(canSpeak()).toBe(false)
  expect(spoken).toEqual([])
})

it('buzzes until it is told not to, and remembers that on this phone', async () => {
  const buzzed: unknown[] = []
  vi.stubGlobal('navigator', { vibrate: (pattern: unknown) => buzzed.push(pattern) })
  const first = await import('./feel.ts')
  first.buzz()
  first.setFeel({ buzz: false })
  first.buzz()
  expect(buzzed).toEqual([40])
  vi.resetModules()
  const next = await import('./feel.ts')
  expect(next.feel.value).toEqual({ buzz: false, voice: false })
})

it('takes what it cannot read for the usual', async () => {
  const { readFeel } = await import('./feel.ts')
  expect(readFeel('no json')).toEqual({ buzz: true, voice: false })
  expect(readFeel(null)).toEqual({ buzz: true, voice: false })
})
