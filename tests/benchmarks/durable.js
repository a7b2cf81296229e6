/** From a lifted finger to a row on the disk: the app's, and a bare one in a database of its own. */
{
  let lifted = 0
  let done = () => {}

  const request = (asked) =>
    new Promise((resolve, reject) => {
      asked.onsuccess = () => resolve(asked.result)
      asked.onerror = () => reject(asked.error)
    })

  /** Each written row ends what `listen` began. */
  const whenComplete = (transaction) => {
    transaction.addEventListener('complete', () => done(performance.now() - lifted))
  }

  /** Milliseconds of the next written row, as the promise `durable`. */
  probe.listen = () => {
    probe.durable = new Promise((resolve) => {
      done = resolve
    })
  }

  /** Milliseconds that each bare put took from its handler on. */
  probe.alone = []

  let places
  probe.watchWrites = (given) => {
    places = given
    const liftedOn = (event) => event.target.closest(`${places.next}, #bare`)
    addEventListener('pointerup', (event) => liftedOn(event) && (lifted = event.timeStamp), true)
    const begin = IDBDatabase.prototype.transaction
    IDBDatabase.prototype.transaction = function (tables, mode, options) {
      const transaction = begin.call(this, tables, mode, options)
      if (mode === 'readwrite' && tables.includes(places.own)) whenComplete(transaction)
      return transaction
    }
  }

  async function lastOwn() {
    const database = await request(indexedDB.open(places.database))
    const rows = database.transaction(places.own).objectStore(places.own)
    const { value } = await request(rows.openCursor(null, 'prev'))
    database.close()
    return value
  }

  function bareDatabase(keyPath) {
    const asked = indexedDB.open('bare')
    asked.onupgradeneeded = () => asked.result.createObjectStore(places.own, { keyPath })
    return request(asked)
  }

  function button(act) {
    const made = document.createElement('button')
    made.id = 'bare'
    made.textContent = 'Bare'
    made.style.cssText = 'position: fixed; inset: 0 auto auto 0; width: 64px; height: 64px; z-index: 9'
    made.onclick = act
    document.body.append(made)
  }

  /** Puts a bare button over the page: a tap on it writes the app's last row under the next number. */
  probe.layBare = async () => {
    const row = await lastOwn()
    const database = await bareDatabase('device_no')
    let number = 0
    button(() => {
      const before = performance.now()
      const transaction = database.transaction([places.own], 'readwrite', { durability: 'strict' })
      transaction.addEventListener('complete', () => probe.alone.push(performance.now() - before))
      number += 1
      transaction.objectStore(places.own).put({ ...row, device_no: number })
    })
  }
}
