/** What the hand feels, and a screen that stays awake: both only where the phone can. */
import { useEffect } from 'preact/hooks'

/** A short buzz when a reading is kept; the screen says so as well, since many phones cannot buzz. */
export function buzz(pattern: number | number[] = 40): void {
  if (typeof navigator.vibrate === 'function') navigator.vibrate(pattern)
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
