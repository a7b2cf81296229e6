"""Every write on both sides, by the function that makes it: the list that kills go through, one by one.

`test_crash_points.py` compares it with what the code does: who adds a write has to add it here, and then it is killed
before and after, too.
"""

#: Functions of the client that change the phone's storage: module under `webclient/src`, then function.
CLIENT = (
    "store/schema.upgrade",
    "store/blobs.keepBlob",
    "store/blobs.markUploaded",
    "store/chain.look",
    "store/device.identity",
    "store/drafts.drop",
    "store/drafts.put",
    "store/facts.remember",
    "store/history.appendPage",
    "store/history.startOver",
    "store/outbox.markAnswered",
    "store/record.storeNext",
    "store/summaries.save",
)

#: Functions of the server that commit to the database.
COMMITS = (
    "ledger.blobs.keep",
    "ledger.photos._keep",
    "ledger.service.deal",
    "ledger.service.deal_by_number",
    "ledger.service.push",
    "people.sessions.open_session",
    "people.sessions.sign_in",
    "people.sessions.sign_out",
)

#: Functions of the server that change a file, with what becomes of the file.
FILES = (
    "ledger.blobs.put: folder made",
    "ledger.blobs.put: named",
    "ledger.blobs.put: removed",
    "ledger.blobs.write_through: opened",
    "ledger.uploads.add: folder made",
    "ledger.uploads.add: opened",
    "ledger.uploads.drop: removed",
)
