"""Rules of the ledger broken in the phone's store: recording, its chain, the pulled book, its disk."""

from tests.faults.mutants.mutant import Edit, Mutant, mutant

STORE = "webclient/src/store/"
RECORD, CHAIN, TEXT, IDS = STORE + "record.ts", STORE + "chain.ts", STORE + "text.ts", STORE + "ids.ts"
HISTORY, OUTBOX, CONNECTION = STORE + "history.ts", STORE + "outbox.ts", STORE + "connection.ts"
BOOK, DRAFTS, DEVICE, PHOTOS = STORE + "book.ts", STORE + "drafts.ts", STORE + "device.ts", STORE + "photos.ts"

RECORDED = STORE + "record.test.ts::"
PULLED = STORE + "history.test.ts::"
CONNECTED = STORE + "connection.test.ts::"
FAULTS = STORE + "faults.test.ts::"
TALKS = "webclient/src/sync/faults.test.ts::"
TYPED = STORE + "drafts.test.ts::"
TALKED = "webclient/src/sync/round.test.ts::"
IDENTITY = "webclient/src/sync/identity.test.ts::"
SENT = "webclient/src/sync/photos.test.ts::"
HANDED = "webclient/src/app/handover.test.ts::"

MUTANTS = (
    mutant(
        "LG1",
        "the id is left for somebody else to make",
        RECORD,
        "  const id = newId()\n",
        "  const id = ''\n",
        RECORDED + "LG1: the device makes the id",
    ),
    mutant(
        "LG1",
        "two entries of one millisecond get one id",
        IDS,
        "crypto.getRandomValues(new Uint8Array(16))",
        "new Uint8Array(16)",
        FAULTS + "LG1: no two ids are alike",
    ),
    mutant(
        "LG2",
        "a text is rounded off to what this version knows",
        HISTORY,
        "function withNames({ seq, received_at, prev, hash, text }: Pulled): HistoryEntry {\n",
        "function withNames({ seq, received_at, prev, hash, text: said }: Pulled): HistoryEntry {\n"
        "  const text = said.startsWith('{') ? JSON.stringify(JSON.parse(said)) : said\n",
        PULLED + "LG12: keeps text that it does not understand, byte for byte",
    ),
    mutant(
        "LG2",
        "the shop's words take the place of the device's own",
        HISTORY,
        "  return row.sent === 'held' || row.sent === 'dealt' ? row : { ...row, sent: 'no' }\n",
        "  return { ...row, text: entry.text, sent: 'safe', held: null, seq, hash }\n",
        PULLED + "LG4: an entry whose number the book has with other bytes is kept and offered",
    ),
    mutant(
        "LG5",
        "a number that is taken is written over",
        RECORD,
        "  await tx.objectStore('own').add(row)\n",
        "  await tx.objectStore('own').put(row)\n",
        RECORDED + "LG5: two tabs that record at once never take the same number",
    ),
    mutant(
        "LG5",
        "an entry that could not be stored uses up its number",
        RECORD,
        "    forgetLink()\n    if (!hasMoved(error)) throw error\n",
        "    if (!hasMoved(error)) {\n      linkTaken(link)\n      throw error\n    }\n    forgetLink()\n",
        CONNECTED + "a full device is a named failure with nothing lost",
        CONNECTED + "LG14: an aborted transaction is a named failure, stores nothing and keeps the draft",
    ),
    mutant(
        "LG5",
        "the chain goes on where another tab has gone on already",
        RECORD,
        "    if (!hasMoved(error)) throw error\n    return storeNext(entry)\n",
        "    throw error\n",
        FAULTS + "LG5: two tabs that record at once lose none of their entries",
    ),
    mutant(
        "LG5",
        "a chain is carried over into a storage that was cleared",
        RECORD,
        "  if (link.connection !== connectionNo()) throw new Moved()\n",
        "",
        CONNECTED + "LG5: a tab whose site data was deleted is another device, whose chain begins at 1",
    ),
    mutant(
        "LG5",
        "what another tab wrote under the old identity is left in the new chain",
        CHAIN,
        "    await sweepStrays(tx, device)\n",
        "",
        IDENTITY + "LG5: another tab that still writes under the old identity leaves no gap in the new chain",
    ),
    mutant(
        "LG4",
        "a copied identity takes its unsent entries with it into nowhere",
        STORE + "carried.ts",
        "  if (row.sent !== 'safe') await keep(tx, { ...row, device: row.device ?? device })\n",
        "",
        TALKS + "LG4: what was unsent under the old one reaches the shop",
    ),
    mutant(
        "LG4",
        "of two carried entries with one number the first alone is kept",
        STORE + "lanes.ts",
        "first.text === row.text ? row.device",
        "first.device === row.device ? row.device",
        HANDED + "LG4: both are carried, in sight, and handed on",
    ),
    mutant(
        "LG4",
        "a copied phone's twin is asked for under a name that the shop does not know",
        STORE + "lanes.ts",
        "lane.split(TWIN, 1)[0] ?? lane",
        "lane",
        HANDED + "LG4: the shop gets both under the number that they have",
    ),
    mutant(
        "LG4",
        "a file that shows this identity on another phone too is passed over",
        "webclient/src/app/handover.ts",
        "    await leaveIdentity()\n",
        "",
        HANDED + "LG4: the copy that takes in the file of the other finds out",
    ),
    mutant(
        "LG7",
        "whatever stands under an own number makes it safe",
        HISTORY,
        "  if (row.text === entry.text) return",
        "  if (row.id !== '') return",
        PULLED + "LG4: an entry whose number the book has with other bytes is kept and offered",
    ),
    mutant(
        "LG7",
        "a page that leaves a gap is stored",
        HISTORY,
        "    if (entry.seq !== after + 1 || (hash !== null && entry.prev !== hash)) return null\n",
        "    if (hash !== null && entry.prev === '') return null\n",
        PULLED + "LG7: a page that leaves a gap is not stored",
    ),
    mutant(
        "LG7",
        "a page of another chain is stored",
        HISTORY,
        "entry.seq !== after + 1 || (hash !== null && entry.prev !== hash)",
        "entry.seq !== after + 1",
        PULLED + "LG7: a page from another chain is not stored",
    ),
    mutant(
        "LG7",
        "the phone never counts what it has",
        HISTORY,
        "      ? pieces === Math.ceil(after / CHUNK)\n      : false\n",
        "      ? true\n      : true\n",
        PULLED + "LG7: a history that lost a piece is found out",
        TALKED + "LG7: history that lost a piece on the phone is pulled anew",
    ),
    mutant(
        "sync",
        "the cursor moves before the page is stored",
        HISTORY,
        "  const builds = await write(TABLES, async (tx) => {\n    const cursor = await cursorIn(tx)\n",
        "  const end = entries[entries.length - 1]\n"
        "  const before = await read(['device'], cursorIn)\n"
        "  if (end && following(before, entries)?.length)\n"
        "    await write(['device'], (tx) => putCursor(tx, { epoch, after: end.seq, hash: end.hash }))\n"
        "  const builds = await write(TABLES, async (tx) => {\n    const cursor = { ...before }\n",
        FAULTS + "LG7: a page that breaks off after its write 2 leaves cursor and history as they were",
    ),
    mutant(
        "sync",
        "the page is stored and the cursor stays",
        HISTORY,
        "    moved && putCursor(tx, moved),\n",
        "",
        PULLED + "LG7: pages of 200 give the same book, as many entries as the cursor says",
        PULLED + "an entry made after a pull says how much of the book its maker had seen",
    ),
    mutant(
        "sync",
        "the last piece is written over instead of grown",
        HISTORY,
        "  const whole = [...(known?.entries ?? []), ...entries]\n",
        "  const whole = known && !entries.length ? known.entries : entries\n",
        PULLED + "LG7: pages of 7 give the same book, as many entries as the cursor says",
    ),
    mutant(
        "LG9",
        "the outbox goes with the book of another epoch",
        HISTORY,
        "    await putCursor(tx, { epoch, after: 0, hash: null })\n    await offerEntries(tx)\n",
        "    await putCursor(tx, { epoch, after: 0, hash: null })\n    await tx.objectStore('own').clear()\n",
        PULLED + "LG9: starting over forgets history, keeps every own entry and offers it again",
        TALKED + "LG9: a restored server gets everything again, and the phone says so",
    ),
    mutant(
        "LG9",
        "own entries that the lost book had are not offered again",
        HISTORY,
        "    await offerEntries(tx)\n",
        "",
        TALKED + "LG9: a restored server gets everything again, and the phone says so",
    ),
    mutant(
        "LG9",
        "texts that the lost book had are not offered again",
        HISTORY,
        "    await offerFiles(tx)\n",
        "",
        TALKED + "LG9: a restored server gets the texts again that it lost",
        SENT + "LG9: is offered again to a shop that was restored",
    ),
    mutant(
        "LG9",
        "the history of the lost book is forgotten before it was compared",
        HISTORY,
        "    await putAside(tx)\n",
        "    await tx.objectStore('chunks').clear()\n",
        IDENTITY + "LG9: gets back from this phone what another phone had made, for that phone",
    ),
    mutant(
        "LG9",
        "the cursor stays where it was in the lost book",
        HISTORY,
        "    await putCursor(tx, { epoch, after: 0, hash: null })\n",
        "    const { after, hash } = await cursorIn(tx)\n    await putCursor(tx, { epoch, after, hash })\n",
        PULLED + "LG9: starting over forgets history, keeps every own entry and offers it again",
    ),
    mutant(
        "LG10",
        "the device's clock orders its own entries",
        BOOK,
        "  return a.device_no - b.device_no || (a.id < b.id ? -1 : 1)\n",
        "  return a.id < b.id ? -1 : 1\n",
        RECORDED + "LG10: a clock three days off changes neither numbers nor order",
    ),
    mutant(
        "LG11",
        "own unsent entries are drawn before the shop's",
        BOOK,
        "      ...pulled.sort((a, b) => (a.seq ?? 0) - (b.seq ?? 0)),\n      ...unsafe.sort(byNumber).map(ownEntry),\n",
        "      ...unsafe.sort(byNumber).map(ownEntry),\n      ...pulled.sort((a, b) => (a.seq ?? 0) - (b.seq ?? 0)),\n",
        PULLED + "LG11: gives pulled entries by seq, then own unsent ones by number",
    ),
    mutant(
        "LG11",
        "an entry does not say how much of the book its maker had seen",
        RECORD,
        "device, device_no, made_at, seen, trade_version })",
        "device, device_no, made_at, seen: 0 * seen, trade_version })",
        PULLED + "an entry made after a pull says how much of the book its maker had seen",
    ),
    mutant(
        "LG12",
        "an entry that this version cannot read is left out of the pulled book",
        HISTORY,
        "  const entries = fresh.map(withNames)\n  const moved",
        "  const entries = fresh.map(withNames).filter((entry) => entry.id !== '')\n  const moved",
        FAULTS + "LG12: what is no JSON at all is kept in its place like everything else",
    ),
    mutant(
        "LG12",
        "a new version begins with empty tables",
        STORE + "schema.ts",
        "  if (old < 1) first(db)\n",
        "  if (old < 2) {\n"
        "    for (const name of [...db.objectStoreNames]) db.deleteObjectStore(name)\n    first(db)\n  }\n",
        STORE + "upgrade.test.ts::LG12: a book of the first version opens with its entries, drafts and identity",
    ),
    mutant(
        "LG13",
        "what an entry names is stored in a transaction of its own",
        RECORD,
        "  if (entry.draft) await draftAtRest(entry.draft)\n",
        "  if (entry.draft) await draftAtRest(entry.draft)\n"
        "  for (const blob of entry.blobs ?? [])\n"
        "    await write(['blobs'], (tx) => addBlob(tx as never, blob.sha256, blob.text))\n",
        RECORDED + "LG13: blobs are on the disk with their entry or not at all",
    ),
    mutant(
        "LG13",
        "a photo is left out of its entry's transaction",
        RECORD,
        "    addPhoto(tx, entry.photo),\n",
        "",
        SENT + "LG13: is on disk with its entry, and what it was made from is gone with that",
    ),
    mutant(
        "LG13",
        "the raw picture goes before its entry is there",
        RECORD,
        "async function storeNext(entry: NewEntry): Promise<OwnRow> {\n",
        "async function storeNext(entry: NewEntry): Promise<OwnRow> {\n"
        "  const raw = entry.photo?.raw\n"
        "  if (raw) await write(['raw_photos'], (tx) => tx.objectStore('raw_photos').delete(raw))\n",
        SENT + "LG13: an entry that cannot be stored takes neither its photo nor the raw picture",
    ),
    mutant(
        "LG13",
        "what the camera gave is kept in memory until it is entered",
        PHOTOS,
        "  return write(['raw_photos'], (tx) => tx.objectStore('raw_photos').put({ bytes, type, where }))\n",
        "  return Promise.resolve(bytes.byteLength + type.length + where.build.length)\n",
        SENT + "LG13: that the page did not live to enter is still there as the camera gave it",
    ),
    mutant(
        "LG14",
        "writes are relaxed",
        CONNECTION,
        "{ durability: 'strict' }",
        "{ durability: 'relaxed' }",
        CONNECTED + "LG14: writes are strict",
    ),
    mutant(
        "LG14",
        "saved is said when the request succeeded, before it is complete",
        CONNECTION,
        "    const result = await Promise.race([work(), cut])\n"
        "    const aborted = await ended\n    if (aborted) throw worst(null, aborted.error)\n",
        "    const result = await Promise.race([work(), cut])\n",
        CONNECTED + "LG14: resolves on complete, not when the request succeeded",
    ),
    mutant(
        "LG14",
        "an abort after the last request is passed over",
        CONNECTION,
        "    if (aborted) throw worst(null, aborted.error)\n",
        "",
        FAULTS + "LG14: a transaction that ends badly after its last request is a failure",
    ),
    mutant(
        "LG14",
        "without storage the entry is kept in memory",
        RECORD,
        "    if (!hasMoved(error)) throw error\n",
        "    if (!hasMoved(error)) return row\n",
        CONNECTED + "LG14: an aborted transaction is a named failure, stores nothing and keeps the draft",
        CONNECTED + "a full device is a named failure with nothing lost",
    ),
    mutant(
        "LG14",
        "a connection that the browser closed stays closed",
        CONNECTION,
        "    forget()\n    return (await database()).transaction(stores, mode, STRICT)\n",
        "    throw toFailure(error)\n",
        FAULTS + "LG14: an entry is taken by a connection opened anew",
    ),
    mutant(
        "LG14",
        "an old tab holds on to its tables and keeps the new one waiting",
        CONNECTION,
        "  ;(event.target as IDBDatabase).close()\n  forget()\n",
        "",
        FAULTS + "LG14: an old tab does not keep a newer one waiting",
    ),
    mutant(
        "LG14",
        "a draft is kept only now and then",
        DRAFTS,
        "  const before = running.get(key)\n  return before ? queue(key, text, before) : run(key, text)\n",
        "  const before = running.get(key)\n  return before ?? run(key, text)\n",
        TYPED + "a fast thumb ends with its last text",
    ),
    mutant(
        "LG14",
        "what the browser was before its storage was cleared is not said",
        DEVICE,
        "  return last ? { ...last, why: 'cleared', at_shop: null, told: false } : undefined\n",
        "  return last && last.made < 0 ? { ...last, why: 'cleared', at_shop: null, told: false } : undefined\n",
        IDENTITY + "LG14: is another device, says what it was, and counts what never reached the shop",
    ),
    mutant(
        "sync",
        "the draft is deleted before its entry is stored",
        RECORD,
        "  if (entry.draft) await draftAtRest(entry.draft)\n",
        "  if (entry.draft) {\n    const key = entry.draft\n    await draftAtRest(key)\n"
        "    await write(['drafts'], (tx) => tx.objectStore('drafts').delete(key))\n  }\n",
        CONNECTED + "LG14: an aborted transaction is a named failure, stores nothing and keeps the draft",
        CONNECTED + "a full device is a named failure with nothing lost",
    ),
    mutant(
        "sync",
        "the draft stays when its entry is stored",
        RECORD,
        "  if (key) await tx.objectStore('drafts').delete(key)\n",
        "  if (key === '') await tx.objectStore('drafts').delete(key)\n",
        RECORDED + "LG14: the draft goes exactly when the entry is there",
    ),
    mutant(
        "sync",
        "a save under way brings the draft back after the entry was stored",
        RECORD,
        "  if (entry.draft) await draftAtRest(entry.draft)\n",
        "",
        FAULTS + "LG14: digits typed just before the tap do not come back, in a page that has recorded before",
    ),
    mutant(
        "sync",
        "an answer that comes late takes a safe entry back",
        OUTBOX,
        "return sent !== 'safe' && sent !== 'dealt' && sent !== mark.sent",
        "return sent !== 'dealt' && sent !== mark.sent",
        TALKED + "LG3: one answer twice changes nothing",
    ),
    mutant(
        "sync",
        "what was dealt with is thrown away",
        OUTBOX,
        "      await tx.objectStore('own').put({ ...row, sent: 'dealt' })\n",
        "      await tx.objectStore('own').delete(number)\n",
        FAULTS + "LG6: stays on the phone word for word when somebody has dealt with it",
    ),
    Mutant(
        "sync",
        "two tabs of one browser are two devices",
        (
            Edit(
                DEVICE, "  return known ?? putIdentity(tx, clearedBefore())\n", "  return mine ?? keepMine(tx, known)\n"
            ),
            Edit(
                DEVICE,
                "  return (known as Identity | undefined) ?? write(['device'], identityIn)\n",
                "  return write(['device'], identityIn)\n",
            ),
            Edit(
                DEVICE,
                "const IDENTITY = 'identity'\n",
                "const IDENTITY = 'identity'\nlet mine: Identity | null = null\n\n"
                "async function keepMine(tx: WritableDeviceTable, _known?: Identity): Promise<Identity> {\n"
                "  mine = await putIdentity(tx)\n  return mine\n}\n",
            ),
        ),
        (RECORDED + "LG5: two tabs are one device",),
    ),
)
