/**
 * What can go wrong with the phone's own storage, by name, with a sentence that says what to do.
 *
 * Nothing here falls back to memory (LG14): an entry that is not on disk was not recorded.
 */

export type StoreCode =
  | 'storage_full'
  | 'storage_unavailable'
  | 'storage_blocked'
  | 'newer_version'
  | 'not_stored'
  | 'too_large'
  | 'bad_text'
  | 'entered_before'

const MESSAGES: Record<StoreCode, string> = {
  storage_full:
    'This device has no room left. Nothing was lost: what you typed is still here. Free some space, then record again.',
  storage_unavailable:
    'This browser does not let the book be kept on this device. Leave private browsing or allow site data, then reload.',
  storage_blocked:
    'Another tab still holds the last version of the book. Close the other Standbook tabs, then try again.',
  newer_version:
    'A newer version of Standbook is open in another tab. Reload this page; nothing was lost.',
  not_stored: 'It was not stored. What you typed is still here: record again.',
  too_large:
    'This is more text than one entry of the book holds. Shorten the note, then record again.',
  entered_before: 'This picture is in the book already.',
  bad_text: 'The text holds a character that cannot be stored. Delete it and type it again.',
}

/** A failure of the device's storage. `message` is ready for the screen. */
export class StoreFailure extends Error {
  readonly code: StoreCode

  constructor(code: StoreCode, cause?: unknown) {
    super(MESSAGES[code], { cause })
    this.name = 'StoreFailure'
    this.code = code
  }
}

const CODES: Record<string, StoreCode> = {
  QuotaExceededError: 'storage_full',
  VersionError: 'newer_version',
  SecurityError: 'storage_unavailable',
  UnknownError: 'storage_unavailable',
  InvalidStateError: 'storage_unavailable',
  MissingAPIError: 'storage_unavailable',
}

function nameOf(error: unknown): string {
  return error instanceof Error || error instanceof DOMException ? error.name : ''
}

/** Any error of IndexedDB as a named failure; an unknown one means that nothing was stored. */
export function toFailure(error: unknown): StoreFailure {
  if (error instanceof StoreFailure) return error
  return new StoreFailure(CODES[nameOf(error)] ?? 'not_stored', error)
}
