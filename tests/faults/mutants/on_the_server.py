"""Rules of the ledger broken at the shop: taking entries in, ordering them, handing them out."""

from tests.faults.mutants.mutant import Edit, Mutant, mutant

BATCH = "server/standbook/ledger/batch.py"
KNOWN = "server/standbook/ledger/known.py"
DEVICES = "server/standbook/ledger/devices.py"
PULL = "server/standbook/ledger/pull.py"
ENTRY_TEXT = "server/standbook/ledger/entry_text.py"
APPEND = "server/standbook/ledger/append.py"
SERVICE = "server/standbook/ledger/service.py"
COUNTER = "server/standbook/ledger/counter.py"
TABLES = "server/standbook/migrations/versions/0001_first.py"

PROOFS = "server/standbook/people/proofs.py"
PINS = "server/standbook/people/pins.py"

PUSHED = "tests/ledger/test_push.py::"
PROVEN = "tests/ledger/test_pins.py::"
HELD = "tests/ledger/test_held_back.py::"
PHONES = "tests/ledger/test_devices.py::"
WHOSE = "tests/ledger/test_identity.py::"
CLOCKS = "tests/ledger/test_clocks.py::"

MUTANTS = (
    mutant(
        "LG1",
        "the shop makes an id of its own",
        BATCH,
        "*astuple(head)",
        "uuid7(), *astuple(head)[1:]",
        WHOSE + "test_lg1_the_id_in_the_shops_book_is_the_devices",
    ),
    mutant(
        "LG2",
        "the database lets an entry be changed",
        TABLES,
        "    for statement in FROZEN[op.get_bind().dialect.name]:\n        op.execute(statement)\n",
        "",
        PUSHED + "test_lg2_an_entry_is_frozen_even_for_the_database_itself",
    ),
    mutant(
        "LG2",
        "the text is written anew on its way in",
        ENTRY_TEXT,
        "        text = _text.decode(wire)\n",
        "        text = _text.decode(wire)\n"
        "        with __import__('contextlib').suppress(msgspec.DecodeError):\n"
        "            text = msgspec.json.encode(msgspec.json.decode(text)).decode()\n",
        PUSHED + "test_lg2_the_bytes_come_back_as_they_were_written",
    ),
    mutant(
        "LG3",
        "a known entry is taken for another one",
        KNOWN,
        "prior for prior in candidates if prior.sha256 == one.sha256",
        "prior for prior in candidates if prior.sha256 == one.sha256 and prior.result != 'already'",
        PUSHED + "test_lg3_the_same_batch_again_changes_nothing",
    ),
    mutant(
        "LG4",
        "a number used twice is answered as already there",
        BATCH,
        '            self.put_beside(one, "same_number", used_number=False)\n',
        '            self.answer(one, "already", None)\n',
        PUSHED + "test_lg4_a_number_used_twice_by_a_cloned_phone_is_a_conflict_and_both_are_kept",
    ),
    mutant(
        "LG4",
        "an id used twice is answered as already there",
        BATCH,
        '            self.put_beside(one, "same_id", used_number=True)\n',
        '            self.use_number(one, "already", None)\n            self.answer(one, "already", None)\n',
        PUSHED + "test_lg4_the_same_id_with_other_bytes_is_a_conflict_and_both_are_kept",
        PUSHED + "test_lg4_the_same_id_from_another_phone_is_a_conflict",
    ),
    mutant(
        "LG4",
        "the second of two entries is told as a conflict and thrown away",
        BATCH,
        '        self.conflicts.append({**self.aside(one, code, message), "used_number": used_number})\n',
        "",
        PUSHED + "test_lg4_the_same_id_with_other_bytes_is_a_conflict_and_both_are_kept",
    ),
    mutant(
        "LG4",
        "an id counts as free as long as it was only held back",
        KNOWN,
        'prior = Prior(row.sha256, row.entry, row.device_no, "held", None, row.code, row.message)',
        'prior = Prior(row.sha256, None, row.device_no, "held", None, row.code, row.message)',
        WHOSE + "test_lg4_an_id_that_was_held_back_is_not_free_for_other_bytes_later_either",
    ),
    mutant(
        "LG5",
        "a gap is accepted",
        BATCH,
        '            message = entry_message("number_gap", next_no=self.next_no)\n'
        '            self.answer(one, "refused", None, "number_gap", message)\n',
        "            self.next_no = one.no\n            self.take_next(one)\n",
        PUSHED + "test_lg5_a_gap_is_refused_and_the_wanted_number_named",
    ),
    mutant(
        "LG5",
        "the second of two batches may pass the first",
        "server/standbook/writing.py",
        "            own.wait()\n",
        "",
        "tests/ledger/test_locks.py::"
        "test_lg5_the_second_of_two_batches_waits_for_the_first_whichever_a_thread_has_in_hand_first",
    ),
    mutant(
        "LG5",
        "entries are committed before the number that they use up",
        BATCH,
        "        if self.entries:\n            advance(connection, self.counter)\n",
        "        if self.entries:\n            advance(connection, self.counter)\n"
        '        connection.exec_driver_sql("COMMIT")\n'
        '        connection.exec_driver_sql("BEGIN IMMEDIATE")\n',
        "tests/faults/test_killed_server.py::"
        "test_lg3_a_push_cut_by_a_killed_server_is_sent_again_and_there_once[inside-stored]",
    ),
    mutant(
        "LG5",
        "a batch is committed by halves",
        BATCH,
        "        put_entries(connection, self.entries)\n",
        "        put_entries(connection, self.entries[:2])\n"
        "        if self.entries[2:]:\n"
        '            connection.exec_driver_sql("COMMIT")\n'
        '            connection.exec_driver_sql("BEGIN IMMEDIATE")\n'
        "            put_entries(connection, self.entries[2:])\n",
        "tests/faults/test_full_disk.py::test_lg6_a_full_disk_refuses_the_batch_whole_and_takes_it_later",
    ),
    mutant(
        "LG5",
        "the number that is told is one too far",
        DEVICES,
        "return Mine(next_no - 1, next_no, head, dealt_with(connection, shop, device))",
        "return Mine(next_no, next_no + 1, head, dealt_with(connection, shop, device))",
        PUSHED + "test_lg5_a_lost_batch_heals_itself",
        PUSHED + "test_lg3_a_batch_that_overlaps_stores_only_what_is_new",
    ),
    mutant(
        "LG5",
        "what another device hands in counts as its own",
        DEVICES,
        "    said = about(push, skew_ms) if push.carrier in (None, push.device) else {}\n",
        "    said = about(push, skew_ms)\n",
        PHONES + "test_lg5_entries_that_another_device_hands_in_are_of_their_own_device",
    ),
    mutant(
        "LG5",
        "a replaced device's numbers are forgotten",
        DEVICES,
        '"made": max(made, old.made)}',
        '"made": made}',
        PHONES + "test_lg5_a_browser_that_lost_its_storage_tells_what_it_was_and_the_book_what_is_lost",
    ),
    mutant(
        "LG6",
        "a held-back entry does not use up its number",
        BATCH,
        '        self.use_number(one, "held", None, code, message)\n',
        "        self.known.add(Prior(one.sha256, one.id, one.no, 'held', None, code, message))\n",
        HELD + "test_lg6_is_held_back_with_its_reason_and_the_next_goes_through",
    ),
    mutant(
        "LG6",
        "a held-back entry is answered and thrown away",
        BATCH,
        "        self.held.append(self.aside(one, code, message))\n",
        "",
        HELD + "test_lg6_it_stays_visible_until_a_person_has_dealt_with_it",
    ),
    mutant(
        "LG6",
        "one bad entry refuses the whole batch",
        BATCH,
        '            self.hold(one, *(one.fault or ("bad_entry", "")))\n',
        '            self.refuse(one, *(one.fault or ("bad_entry", "")))\n',
        HELD + "test_lg6_is_held_back_with_its_reason_and_the_next_goes_through",
    ),
    mutant(
        "LG6",
        "what a sign-in would free is held back for good",
        BATCH,
        '        if ruled.result == "held":\n',
        '        if ruled.result in ("held", "refused"):\n',
        "tests/ledger/test_authority.py::test_without_his_sign_in_it_waits_and_keeps_its_number",
    ),
    mutant(
        "LG6",
        "what stands behind a refused entry goes past it",
        BATCH,
        "    def refuse(self, one: Incoming, code: str, message: str) -> None:\n        self.stopped = True\n",
        "    def refuse(self, one: Incoming, code: str, message: str) -> None:\n        self.next_no += 1\n",
        "tests/ledger/test_authority.py::test_what_stands_behind_a_refused_entry_waits_for_it",
    ),
    mutant(
        "LG6",
        "an entry that is too large leaves no trace of its size",
        ENTRY_TEXT,
        '    one.raw, one.text, one.fault = None, "", ("entry_too_large", message)\n',
        '    one.raw, one.text, one.size, one.fault = None, "", 0, ("entry_too_large", message)\n',
        HELD + "test_lg6_of_an_entry_that_is_too_large_size_and_hash_are_kept",
    ),
    mutant(
        "LG6",
        "what was dealt with is not told to its phone",
        DEVICES,
        "    found.extend(DealtWith(*row) for row in rows)\n",
        "    found.extend(DealtWith(*row) for row in list(rows)[1:])\n",
        PHONES + "test_lg6_what_a_person_dealt_with_leaves_the_list_of_its_phone",
    ),
    mutant(
        "LG7",
        "the shop's count leaves out what it holds back",
        BATCH,
        "        return Mine(self.next_no - 1, self.next_no, self.head, self.dealt)\n",
        "        return Mine(self.next_no - 1 - len(self.held), self.next_no, self.head, self.dealt)\n",
        PUSHED + "test_lg7_the_shops_record_of_a_device_counts_what_is_held_back_too",
    ),
    mutant(
        "LG7",
        "the shop's record of a device ends with somebody else's entry",
        BATCH,
        "        return Mine(self.next_no - 1, self.next_no, self.head, self.dealt)\n",
        "        return Mine(self.next_no - 1, self.next_no, self.counter.head, self.dealt)\n",
        WHOSE + "test_lg7_the_shops_record_ends_with_the_devices_last_entry",
    ),
    mutant(
        "LG7",
        "nothing new, says the tag, though the device's own record has changed",
        "server/standbook/api/sync.py",
        '    tag = tag_of("pull", at.counter, at.mine, at.reset, at.after, cursor.limit, cursor.columns)\n',
        '    tag = tag_of("pull", at.counter, at.reset, at.after, cursor.limit, cursor.columns)\n',
        "tests/api/test_sync.py::test_lg7_something_held_back_is_news_for_its_own_device",
    ),
    Mutant(
        "LG8",
        "seq is read before it is locked",
        (
            Edit(
                SERVICE,
                "            with self.writer.writing() as connection:\n"
                "                outcome = append(connection, shop, push, incoming, door)\n",
                "            with self.reading() as connection:\n"
                "                counter = read_counter(connection, shop)\n"
                "            with self.writer.writing() as connection:\n"
                "                outcome = append(connection, shop, push, incoming, door, counter)\n",
            ),
            Edit(APPEND, "door: Door) -> Outcome:", "door: Door, counter) -> Outcome:"),
            Edit(APPEND, "    counter = lock_counter(connection, shop)\n", ""),
        ),
        ("tests/faults/test_many_writers.py::test_lg3_lg5_lg8_twelve_writers_at_once_lose_nothing_and_leave_no_gap",),
    ),
    mutant(
        "LG8",
        "what is held back uses up a seq",
        BATCH,
        '        """LG6: kept with its reason, and its number is used up, so that nothing waits behind it."""\n',
        "        self.counter = self.counter._replace(last_seq=self.counter.last_seq + 1)\n",
        PUSHED + "test_lg8_seq_has_no_gaps_whatever_is_held_back_or_refused_between",
    ),
    mutant(
        "LG8",
        "the chain runs over the hash's letters instead of its bytes",
        COUNTER,
        "    return hashlib.sha256(bytes.fromhex(prev) + text.encode()).hexdigest()\n",
        "    return hashlib.sha256(prev.encode() + text.encode()).hexdigest()\n",
        PUSHED + "test_lg8_the_chain_is_sha256_over_the_raw_hash_before_and_the_bytes",
    ),
    mutant(
        "LG8",
        "the chain runs over JSON that was written anew",
        COUNTER,
        "    return hashlib.sha256(bytes.fromhex(prev) + text.encode()).hexdigest()\n",
        "    import json\n\n"
        "    return hashlib.sha256(bytes.fromhex(prev) + json.dumps(json.loads(text)).encode()).hexdigest()\n",
        PUSHED + "test_lg8_the_chain_is_sha256_over_the_raw_hash_before_and_the_bytes",
    ),
    mutant(
        "LG8",
        "the counter is not moved on",
        BATCH,
        "        if self.entries:\n            advance(connection, self.counter)\n",
        "        if self.entries[1:]:\n            advance(connection, self.counter)\n",
        PUSHED + "test_lg9_a_cursor_of_another_book_or_from_the_future_starts_from_zero",
        "tests/ledger/test_chain_check.py::test_a_whole_book_has_no_findings",
    ),
    mutant(
        "LG9",
        "another epoch is passed over",
        PULL,
        '    strange = cursor.epoch != counter.epoch and (cursor.epoch != "" or cursor.after > 0)\n',
        "    strange = False\n",
        PUSHED + "test_lg9_a_cursor_of_another_book_or_from_the_future_starts_from_zero",
    ),
    mutant(
        "LG9",
        "a cursor from the future is taken for up to date",
        PULL,
        "    reset = strange or cursor.after > counter.last_seq\n",
        "    reset = strange\n",
        PUSHED + "test_lg9_a_cursor_of_another_book_or_from_the_future_starts_from_zero",
    ),
    mutant(
        "LG9",
        "a page that is full is called the last one",
        PULL,
        "        more=reached < at.counter.last_seq,\n",
        "        more=len(entries) < limit and reached < at.counter.last_seq,\n",
        PUSHED + "test_lg9_pages_follow_each_other_until_there_is_no_more",
    ),
    mutant(
        "LG10",
        "entries come in the order of their devices' clocks",
        PULL,
        "    .order_by(Entry.seq)\n",
        "    .order_by(Entry.made_at, Entry.seq)\n",
        CLOCKS + "test_lg10_a_device_clock_orders_nothing",
    ),
    mutant(
        "LG10",
        "an entry from tomorrow is held back",
        BATCH,
        "        if one.fault is not None or one.head is None:\n",
        "        if one.head and abs(self.skew_ms or 0) > 86_400_000:\n"
        '            self.hold(one, "bad_entry", "its clock is wrong")\n'
        "        elif one.fault is not None or one.head is None:\n",
        PUSHED + "test_lg10_a_clock_days_off_is_measured_and_refuses_nothing",
    ),
    mutant(
        "LG10",
        "the device's clock is put in the place of the server's",
        BATCH,
        "        self.received_at = clock.now_stamp()\n",
        "        self.received_at = push.now[:24] or clock.now_stamp()\n",
        CLOCKS + "test_lg10_when_an_entry_was_received_is_the_shops_own_time",
    ),
    mutant(
        "LG10",
        "a clock that cannot be read is an error",
        "server/standbook/clock.py",
        "    except (ValueError, OverflowError):\n",
        "    except ZeroDivisionError:\n",
        CLOCKS + "test_lg10_a_push_with_a_clock_that_cannot_be_read_is_answered",
    ),
    mutant(
        "LG12",
        "fields that are not known are dropped",
        BATCH,
        "        chain = (prev, self.head, one.text)\n",
        "        import json\n\n"
        "        names = (*Head.__struct_fields__, 'body')\n"
        "        text = json.dumps({name: value for name, value in json.loads(one.text).items() if name in names})\n"
        "        chain = (prev, self.head, text)\n",
        PUSHED + "test_lg12_kinds_and_fields_of_a_newer_peer_are_kept_byte_for_byte",
    ),
    mutant(
        "LG12",
        "a kind that is not known is held back",
        "server/standbook/trade/entries.py",
        '    if body["v"] == 1 and entry["kind"] in CHECKS:\n',
        '    _need(entry["kind"] in KINDS, "kind", "known")\n    if body["v"] == 1 and entry["kind"] in CHECKS:\n',
        PUSHED + "test_lg12_kinds_and_fields_of_a_newer_peer_are_kept_byte_for_byte",
    ),
    mutant(
        "LG12",
        "a newer body is held to the rules of this one",
        "server/standbook/trade/entries.py",
        '    if body["v"] == 1 and entry["kind"] in CHECKS:\n',
        '    if entry["kind"] in CHECKS:\n',
        PUSHED + "test_lg12_kinds_and_fields_of_a_newer_peer_are_kept_byte_for_byte",
    ),
    mutant(
        "LG12",
        "an envelope with a field more is refused",
        "server/standbook/ledger/wire.py",
        "class Push(Struct):\n",
        "class Push(Struct, forbid_unknown_fields=True):\n",
        "tests/api/test_sync.py::test_lg12_fields_of_a_newer_phone_are_passed_over",
    ),
    mutant(
        "sync",
        "a proof counts under any entry of its person",
        PROOFS,
        "(inside.entry, proof.person) != (proof.entry, proof.author)",
        "proof.person != proof.author",
        PROVEN + "test_a_proof_is_worth_nothing_under_another_entry",
    ),
    mutant(
        "sync",
        "a replaced PIN counts for ever",
        PINS,
        "self.until is None or seen <= self.until",
        "True",
        PROVEN + "test_the_pin_before_counts_for_what_was_signed_before_its_change_was_pulled",
    ),
    mutant(
        "sync",
        "a wrong PIN is told and the entry taken",
        "server/standbook/people/authority.py",
        '    if pin == "fits":\n',
        '    if pin in ("fits", "wrong"):\n',
        PROVEN + "test_a_wrong_pin_is_held_back_in_sight_and_stands_in_the_access_log",
    ),
)
