/** What a person or a test does with a page, over the client's own functions. */
import { createHash } from 'node:crypto'
import { File, withWords } from './pictures.mjs'

function sha256(value) {
  return createHash('sha256').update(JSON.stringify(value)).digest('hex')
}

async function history(client) {
  const builds = await client.store.builds()
  const books = await Promise.all(builds.map((build) => client.store.entriesOf(build)))
  return builds.map((build, at) => [build, books[at].map(({ text, seq, sent, held }) => [text, seq, sent, held])])
}

async function givenPin(client, person, pin) {
  const { given, left } = await client.sync.checkPin(person, pin)
  if (!given) throw new Error(`the PIN does not fit; ${left} tries are left`)
  return given
}

export const ACTS = {
  /** As the app starts: what was kept is shown, then the talk with the shop begins. */
  async start(client, mode) {
    await Promise.all([client.sync.recallShop(), client.sync.recallContact()])
    await client.store.askToPersist()
    client.sync.startSync(mode, 'machine')
    const { takeUpPhotos, finishPhotos } = client.photos ?? {}
    await (takeUpPhotos ?? finishPhotos)?.()
  },

  /** `pin`: typed by the entry's person, and proven with it. */
  async record(client, { pin, ...entry }) {
    const given = pin && (await givenPin(client, entry.person, pin))
    const prove = given && ((id) => client.sync.sealProof(given, id))
    const { text, device_no } = await client.store.record(prove ? { ...entry, prove } : entry)
    return { text, device_no }
  },

  /** A picture is taken: kept as it came, made small, entered. `room`: how large it shall be. */
  async takePhoto(client, picture, where, room) {
    const file = withWords(picture, where.caption, room)
    await client.photos.takePhoto(file, where)
    return { sha256: createHash('sha256').update(file.bytes).digest('hex') }
  },

  /** Somebody picks a file that is no picture. */
  takeNoPicture: (client, where) =>
    client.photos.takePhoto(new File(['no picture']), where).then(
      () => Promise.reject(new Error('it was taken for a picture')),
      (error) => (error.code === 'photo_unreadable' ? null : Promise.reject(error)),
    ),

  async exportUnsent(client) {
    const { file, entries, photos } = await client.handover.exportUnsent()
    return { text: await file.text(), entries, photos }
  },

  importFile: (client, text) => client.handover.importFile(new File([text])),

  async dealWithOwn(client, person, reason) {
    for (const entry of await client.store.heldEntries()) {
      await client.sync.dealWithHeld(entry.device_no, person, reason, entry.device)
    }
  },

  join: (client, code) => client.sync.join(code),

  async makeCode(client) {
    const { body } = await client.sync.request('/join/codes', { method: 'POST', body: {} })
    return body.code
  },

  async cutOff(client, device) {
    await client.sync.request(`/devices/${device}/cut-off`, { method: 'POST', body: { reason: 'lost' } })
  },

  takeOn: (client, name, role) => client.sync.takeOn(name, role),
  async changePerson(client, person, news) {
    await client.sync.fetchShop()
    const { version } = client.sync.shop.value.people.find(({ id }) => id === person)
    return client.sync.changePerson(person, news, version)
  },
  personLeft: (client, person) => client.sync.personLeft(person),
  givePassword: (client, person, password) => client.sync.givePassword(person, password),
  givePin: (client, person, pin) => client.sync.givePin(person, pin),

  async people(client) {
    await client.sync.fetchShop()
    return client.sync.shop.value.people.map(({ id, role }) => ({ id, role }))
  },

  hasPin: (client, person) => client.sync.hasPin(person),

  /** Somebody tries a PIN: how many tries are left, null where it fits. */
  async tryPin(client, person, pin) {
    const { left } = await client.sync.checkPin(person, pin)
    return left ?? null
  },

  /** Gives a PIN for what the shop wants one for; says for how many entries one was wanted. */
  async proveWanted(client, person, pin) {
    await client.sync.syncNow()
    const wanted = client.sync.pinsWanted.value.filter((one) => one.person === person)
    for (const one of wanted) await client.sync.proveWanted(one, await givenPin(client, person, pin))
    return wanted.length
  },

  talk: (client) => client.sync.syncNow(),
  signIn: (client, person, password) => client.sync.signIn(person, password),
  signOut: (client) => client.sync.signOut(),
  saveDraft: (client, key, text) => client.store.draft.save(key, text),
  loadDraft: (client, key) => client.store.draft.load(key),
  dropDraft: (client, key) => client.store.draft.drop(key),
  dealWith: (client, id, reason) => client.sync.dealtWith(id, reason),
  fetchText: (client, hash) => client.sync.fetchBlob(hash),
  keepSummary: (client, build) => client.store.summaries.save({ build, mark: '', trade_version: 't', state: {} }),
  strip: (client) => client.sync.strip.value,
  identity: (client) => client.store.identity(),
  complete: (client) => client.store.complete(),
  mark: async (client, text) => client.store.sha256(text),

  /** Everything that the screens would draw from, as one hash and by build. */
  async book(client) {
    const books = await history(client)
    return { hash: sha256(books), books }
  },
}
