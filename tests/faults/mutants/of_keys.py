"""Faults planted into how devices prove who they are: their keys, what they sign, and who believes them."""

from tests.faults.mutants.mutant import mutant

SIGNATURES = "server/standbook/ledger/signatures.py"
CHECK = "server/standbook/ledger/signature_check.py"
SYNC = "webclient/src/sync/"
KEY, TRUST, HTTP, SIGNING = (
    "webclient/src/store/devicekey.ts",
    SYNC + "trust.ts",
    SYNC + "http.ts",
    SYNC + "signing.ts",
)

SIGNED = "tests/ledger/test_signatures.py::"
KEPT = "webclient/src/store/devicekey.test.ts::"
TRUSTED = SYNC + "trust.test.ts::"

MUTANTS = (
    mutant(
        "key",
        "the shop takes any signature",
        SIGNATURES,
        '    if not signed_by(key, push):\n        raise Problem("signature_wrong")\n',
        "",
        SIGNED + "test_a_signature_that_does_not_fit_refuses_the_batch_whole",
    ),
    mutant(
        "key",
        "on the network a joined device may leave its signature out",
        SIGNATURES,
        "    if not push.signature and not required:\n",
        "    if not push.signature:\n",
        SIGNED + "test_without_a_signature_a_joined_device_is_refused_on_the_network_and_taken_on_the_machine_itself",
    ),
    mutant(
        "key",
        "a shorter batch that is sent again takes the place of a longer one",
        SIGNATURES,
        '    return bool((own, news["to_no"]) > (own_before, before.to_no))\n',
        "    return True\n",
        SIGNED + "test_a_batch_sent_again_changes_nothing_and_one_that_reaches_further_takes_its_place",
    ),
    mutant(
        "key",
        "the check believes that what it reads is what was signed",
        CHECK,
        "            if whole and fits(",
        "            if whole or fits(",
        SIGNED + "test_a_flipped_byte_is_told_with_its_device_and_numbers",
    ),
    mutant(
        "key",
        "bytes that are not here are called forged",
        CHECK,
        "        if kept is None or kept.data is None:\n",
        "        if kept is None:\n",
        SIGNED + "test_what_is_not_there_byte_for_byte_is_told_as_not_provable",
    ),
    mutant(
        "key",
        "a phone goes on signing with the key of what it was before",
        KEY,
        "  return row?.device === device ? row : undefined\n",
        "  return row ? { ...row, device } : undefined\n",
        KEPT + "is another one for a new identity, and none for one that this browser is no more",
    ),
    mutant(
        "key",
        "the second of two tabs puts its key in the place of the first one's",
        KEY,
        "    if (device === row.device && known?.device !== device)\n",
        "    if (device === row.device || known?.device !== device)\n",
        KEPT + "stays the one that a first tab made, though a slower one has made another meanwhile",
    ),
    mutant(
        "key",
        "anybody may take the key out of the browser",
        KEY,
        "generateKey(CURVE, false, ['sign', 'verify'])",
        "generateKey(CURVE, true, ['sign', 'verify'])",
        KEPT + "can be taken out of the browser by nobody",
    ),
    mutant(
        "key",
        "what is carried is signed as if the other device had sent it",
        SIGNING,
        "await deviceKey(push.carrier ?? push.device)",
        "await deviceKey(push.device)",
        TRUSTED + "of another device is under the key of who carries it",
    ),
    mutant(
        "key",
        "ten requests that are refused at a time prove the key ten times",
        TRUST,
        "  entering ??= enter(renamed)",
        "  entering = enter(renamed)",
        TRUSTED + "proves it once for ten requests at a time, and not again for one that comes back late",
    ),
    mutant(
        "key",
        "who has proved its key does not ask again",
        HTTP,
        "    return work()\n  }\n}\n\n/** Asks the server.",
        "    throw error\n  }\n}\n\n/** Asks the server.",
        TRUSTED + "that has joined proves its key and asks the same again",
    ),
    mutant(
        "key",
        "a phone that was cut off hears of it and says nothing",
        TRUST,
        "    if (error.code === 'cut_off') trust.value = 'cut off'\n",
        "",
        TRUSTED + "that is cut off says so, loses nothing, and is let in by a new code",
    ),
    mutant(
        "key",
        "a browser that is another device now does not tell the shop",
        TRUST,
        "  if (renamed && (await works(tellNewName))) return true\n",
        "",
        TRUSTED + "is the same to the shop after its identity was left, under its new name and key",
        TRUSTED + "is the same to the shop after its storage was cleared",
    ),
)
