/** What a device that wants to join has to do next. */
import type { System } from './system.ts'

/** Why a device cannot join from where it stands. */
export type Hindrance =
  | 'in another app'
  | 'not trusted'
  | 'not secure'
  | 'not reached'
  | 'not allowed'

export type Stage = Hindrance | 'looking' | 'nothing to join' | 'install first' | 'install' | 'code'

export interface Facts {
  system: System
  inAnotherApp: boolean
  /** Opened from the home screen or the list of apps, not in a tab. */
  installed: boolean
  /** The browser keeps the app, as `worksOffline` has it: null while it is not known. */
  kept: boolean | null
  /** Why not, where it does not. */
  whyNot: Exclude<Hindrance, 'in another app'> | null
  /** Somebody chose to go on in the tab. */
  inTab: boolean
  /** The shop has phones of its own network; null while it has not said. */
  network: boolean | null
}

/**
 * The first thing that is missing. On an iPhone an app on the home screen has a storage of its own: what joins in the
 * tab would be another device, and the code would be used up.
 */
export function stageOf(facts: Facts): Stage {
  if (facts.inAnotherApp) return 'in another app'
  if (facts.kept === false) return facts.whyNot ?? 'not allowed'
  if (facts.kept === null) return 'looking'
  if (facts.network === false) return 'nothing to join'
  if (facts.installed || facts.inTab) return 'code'
  return facts.system === 'ios' ? 'install first' : 'install'
}
