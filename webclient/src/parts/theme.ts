/**
 * Day or night. The system decides until a hand does; the choice stays on this device, and a theme is no
 * fact of the book, so it lives in the browser's own small store and is there before the first paint.
 */
import { signal } from '@preact/signals'

export type Theme = 'system' | 'light' | 'dark'
const KEY = 'standbook-theme'
const ORDER: Theme[] = ['system', 'light', 'dark']

function stored(): Theme {
  try {
    const kept = localStorage.getItem(KEY)
    return kept === 'light' || kept === 'dark' ? kept : 'system'
  } catch {
    return 'system'
  }
}

export const theme = signal<Theme>(stored())

function show(next: Theme): void {
  if (next === 'system') delete document.documentElement.dataset.theme
  else document.documentElement.dataset.theme = next
}

export function chooseTheme(next: Theme): void {
  theme.value = next
  show(next)
  try {
    localStorage.setItem(KEY, next)
  } catch {
    // A browser that keeps nothing still shows the choice until it closes.
  }
}

/** The theme after this one, for a switch with one button. */
export function nextTheme(now: Theme): Theme {
  return ORDER[(ORDER.indexOf(now) + 1) % ORDER.length] ?? 'system'
}

export function startTheme(): void {
  show(theme.value)
}
