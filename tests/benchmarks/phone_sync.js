/** What both sides do in their page. `client` is the app's store and sync; `PouchDB` the anchor's. */
globalThis.ours = {
  /** So many unsent entries more, of this device. */
  async fill(texts) {
    const { device } = await client.store.identity()
    const from = (await client.store.lastOwnNumber()) + 1
    const rows = texts.map((text, at) => {
      const entry = { ...JSON.parse(text), id: client.store.newId(), device, device_no: from + at }
      const { device_no, id, build } = entry
      return { device_no, device, id, build, text: JSON.stringify(entry), sent: 'no', held: null, seq: null, hash: null }
    })
    await client.write(['own'], (tx) => Promise.all(rows.map((row) => tx.objectStore('own').put(row))))
  },

  async push() {
    const before = performance.now()
    await client.pushAll('benchmark')
    const took = performance.now() - before
    if ((await client.store.firstUnsent()) !== null) throw new Error('something is unsent')
    return took
  },

  /** As a new phone: nothing of the book is here. */
  async forget() {
    await client.disconnect()
    localStorage.clear()
    await new Promise((resolve, reject) => {
      const asked = indexedDB.deleteDatabase(client.NAME)
      asked.onsuccess = resolve
      asked.onerror = reject
      asked.onblocked = reject
    })
    await client.store.identity()
  },

  /** Milliseconds an entry. */
  async pull() {
    const before = performance.now()
    await client.pullAll()
    const took = performance.now() - before
    const { after } = await client.store.cursor()
    if (!after || !(await client.store.complete())) throw new Error('the book is not whole')
    return took / after
  },
}

const documentOf = (text) => {
  const { id, ...rest } = JSON.parse(text)
  return { _id: id, ...rest }
}

globalThis.theirs = {
  async fill(texts, adapter) {
    theirs.entries = new PouchDB(`entries-${adapter}`, { adapter })
    await theirs.entries.bulkDocs(texts.map(documentOf))
  },

  async replicate(from, to, count) {
    const before = performance.now()
    const { docs_written } = await PouchDB.replicate(from, to, { batch_size: 500 })
    const took = performance.now() - before
    if (docs_written !== count) throw new Error(`${docs_written} of ${count} documents came`)
    return took
  },

  push: (name, count) => theirs.replicate(theirs.entries, new PouchDB(`${location.origin}/${name}`), count),

  /** Into a database that is made for it and gone afterwards. */
  async pull(name, count, adapter) {
    const copy = new PouchDB(`copy-${adapter}`, { adapter })
    await copy.info()
    const took = await theirs.replicate(new PouchDB(`${location.origin}/${name}`), copy, count)
    await copy.destroy()
    return took
  },
}
