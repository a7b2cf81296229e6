/** A phone: a disk, a clock, locks and a channel between its tabs. Pages come and go, the phone stays. */
import { chance } from './chance.mjs'
import { Clock } from './clock.mjs'
import { Disk } from './disk.mjs'
import { Locks } from './locks.mjs'
import { later } from './tasks.mjs'

export class Phone {
  disk = new Disk()
  clock = new Clock()
  locks = new Locks()
  pages = new Set()
  channels = new Set()
  /** No room: every write that would add something fails. */
  full = false
  persisted = false
  /** Its browser can pack what it sends. */
  packs = false

  constructor(name, seed) {
    this.name = name
    this.next = chance(seed)
  }

  /** Every channel of this name in the other tabs hears the message. */
  tell(from, data) {
    const text = structuredClone(data)
    for (const channel of this.channels) {
      if (channel === from || channel.name !== from.name) continue
      later(() => {
        if (!channel.page.dead) for (const listener of channel.listeners) listener({ data: text })
      })
    }
  }
}
