"""Every write on both sides, by the function that makes it: the list that kills go through, one by one.

`test_crash_points.py` compares it with what the code does: who adds a write has to add it here, and then it is killed
before and after, too.
"""

#: Functions of the client that change the phone's storage: module under `webclient/src`, then function.
CLIENT = (
    "store/blobs.keepBlob",
    "store/blobs.keepTextToSend",
    "store/blobs.markUploaded",
    "store/carried.carry",
    "store/carried.endCarried",
    "store/carried.leaveIdentity",
    "store/carried.markCarried",
    "store/chain.look",
    "store/device.identity",
    "store/device.noteBefore",
    "store/devicekey.keepKey",
    "store/drafts.drop",
    "store/drafts.put",
    "store/facts.remember",
    "store/history.appendPage",
    "store/history.startOver",
    "store/lost.compareSome",
    "store/offering.offerNext",
    "store/outbox.markAnswered",
    "store/outbox.markDealt",
    "store/outbox.offerFrom",
    "store/photos.carryPhoto",
    "store/photos.dropRaw",
    "store/photos.keepRaw",
    "store/photos.markPhoto",
    "store/pinkey.pinKey",
    "store/proofs.putProofs",
    "store/record.storeNext",
    "store/schema.upgrade",
    "store/summaries.save",
    "store/tries.countTry",
    "store/tries.forgetTries",
)

#: Functions of the client that write a text beside the database.
CLIENT_TEXTS = ("store/witness.noteMade",)

#: Functions of the server that commit to the database.
COMMITS = (
    "api.customers.add",
    "api.customers.change",
    "api.customers.say_whose",
    "api.devices.challenge",
    "api.devices.cut_off",
    "api.devices.prove",
    "api.devices.rename",
    "api.instruments.add",
    "api.instruments.change",
    "api.instruments.retire",
    "api.joining.join",
    "api.joining.join_desk",
    "api.joining.make_code",
    "api.people.change",
    "api.people.leave",
    "api.people.put_password",
    "api.people.put_pin",
    "api.people.take_on",
    "api.whence.keep_open",
    "ledger.blobs.keep",
    "ledger.photos._keep",
    "ledger.service.deal",
    "ledger.service.deal_by_number",
    "ledger.service.push",
    "people.sessions.check_password",
    "people.sessions.note_miss",
    "people.sessions.open_session",
    "people.sessions.sign_out",
    "people.sessions.sign_out_everywhere",
)

#: Of keeping, which mostly serves the command line: what a request does.
KEEPING = ("keeping.erasing.erase",)

#: What happens once in a shop's life, before there is a shop.
FIRST_COMMITS = ("api.first_lead.taken_on",)
FIRST_FILES = ("people.first_lead.forget: removed",)

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
