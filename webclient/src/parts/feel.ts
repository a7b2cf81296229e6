/** What hand and ear are told, and a screen that stays awake: all only where the phone can. */
import { signal } from '@preact/signals'
import { useEffect } from 'preact/hooks'

export interface Feel {
  buzz: boolean
  voice: boolean
}

/** Like the theme no fact of the book: it lies in the browser's own small store. */
const KEY = 'standbook-feel'
const USUAL: Feel = { buzz: true, voice: false }

export function readFeel(text: string | null): Feel {
  try {
    const kept = JSON.parse(text ?? '{}') as Partial<Feel>
    return { buzz: kept.buzz !== false, voice: kept.voice === true }
  } catch {
    return USUAL
  }
}

function stored(): Feel {
  try {
    return readFeel(localStorage.getItem(KEY))
  } catch {
    return USUAL
  }
}

export const feel = signal<Feel>(stored())

export function setFeel(change: Partial<Feel>): void {
  feel.value = { ...feel.value, ...change }
  try {
    localStorage.setItem(KEY, JSON.stringify(feel.value))
  } catch {
    // A browser that keeps nothing still does it until it closes.
  }
}

export function canBuzz(): boolean {
  return typeof navigator.vibrate === 'function'
}

/** A short buzz when a reading is kept; the screen says so as well, since many phones cannot buzz. */
export function buzz(pattern: number | number[] = 40): void {
  if (feel.value.buzz && canBuzz()) navigator.vibrate(pattern)
}

/** A voice of the phone itself: one from elsewhere would send the reading out of the shop, and be silent without net. */
export function localVoice(voices: SpeechSynthesisVoice[]): SpeechSynthesisVoice | null {
  const own = voices.filter(({ localService }) => localService)
  return own.find(({ lang }) => /^en\b/.test(lang)) ?? null
}

function voice(): SpeechSynthesisVoice | null {
  return typeof speechSynthesis === 'undefined' ? null : localVoice(speechSynthesis.getVoices())
}

// Some browsers load their voices when they are first asked for, and have none until then.
voice()

export function canSpeak(): boolean {
  return voice() !== null
}

/** Reads words aloud where that is switched on; what was being said before is broken off. */
export function say(words: string): void {
  const own = feel.value.voice ? voice() : null
  if (!own) return
  const said = new SpeechSynthesisUtterance(words)
  said.voice = own
  speechSynthesis.cancel()
  speechSynthesis.speak(said)
}

async function holdScreen(): Promise<WakeLockSentinel | null> {
  try {
    return (await navigator.wakeLock?.request('screen')) ?? null
  } catch {
    return null
  }
}

/** Keeps the screen awake while the component stands; taken anew when the page comes back into sight. */
export function useScreenAwake(): void {
  useEffect(() => {
    let lock: Promise<WakeLockSentinel | null> = holdScreen()
    const again = () => {
      if (document.visibilityState === 'visible') lock = holdScreen()
    }
    document.addEventListener('visibilitychange', again)
    return () => {
      document.removeEventListener('visibilitychange', again)
      void lock.then((held) => held?.release())
    }
  }, [])
}
