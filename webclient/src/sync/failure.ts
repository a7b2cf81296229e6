/** Why a talk with the server came to nothing. `message` is ready for the screen. */

/** Nobody answered, or somebody who is not the shop's server (a sign-in page of a strange network). */
export class NoContact extends Error {
  readonly code: 'no_contact' | 'not_the_shop'

  constructor(code: 'no_contact' | 'not_the_shop', cause?: unknown) {
    const messages = {
      no_contact: 'The shop’s server does not answer. Everything is kept here until it does.',
      not_the_shop:
        'Something else than the shop’s server answers in this network. Everything is kept here until the shop is in reach.',
    }
    super(messages[code], { cause })
    this.name = 'NoContact'
    this.code = code
  }
}

/** The server's own refusal, in its words. */
export class ServerFailure extends Error {
  readonly status: number
  readonly code: string
  readonly details: Record<string, unknown>

  constructor(
    status: number,
    code: string,
    message: string,
    details: Record<string, unknown> = {},
  ) {
    super(message)
    this.name = 'ServerFailure'
    this.status = status
    this.code = code
    this.details = details
  }
}

/** What the shop says to a device that it does not know, where it had no room to say it. */
export function notJoined(): ServerFailure {
  const message = 'This device has not joined the shop. Ask a lead for a code at the desk.'
  return new ServerFailure(401, 'not_joined', message)
}
