"""The fold's share of the rules: who disagrees, what counts, in which order (LG11, LG12)."""

from tests.faults.mutants.mutant import mutant

FOLD = "server/standbook/trade/fold.py"
BOOK = "server/standbook/trade/book.py"
ENTRY = "server/standbook/trade/entry.py"
FOLDED = "tests/trade/test_fold.py::"

MUTANTS = (
    mutant(
        "LG11",
        "of two readings that never saw each other the last one wins",
        FOLD,
        "                if self._apart_unseen(pair[0], pair[1]) and not any(",
        "                if False and not any(",
        FOLDED + "test_lg11_two_first_readings_that_never_saw_each_other_disagree_and_nobody_wins",
    ),
    mutant(
        "LG11",
        "who has seen the other reading is not asked",
        ENTRY,
        "    return other.seq is not None and other.seq <= entry.seen\n",
        "    return False\n",
        FOLDED + "test_lg11_a_first_reading_by_someone_who_saw_the_other_is_no_disagreement",
    ),
    mutant(
        "LG11",
        "any difference is a disagreement, whatever the gauges explain",
        FOLD,
        "        return not judge.agree(read[0][0], read[1][0], max(read[0][1], read[1][1]), self.steps)\n",
        "        return read[0][0] != read[1][0]\n",
        FOLDED + "test_lg11_first_readings_within_what_the_instruments_explain_do_not_disagree",
    ),
    mutant(
        "LG11",
        "own unsent entries come before the shop's",
        ENTRY,
        "UNSENT = 1\n",
        "UNSENT = -1\n",
        FOLDED + "test_lg11_own_unsent_entries_come_after_pulled_ones_and_learn_their_number_later",
    ),
    mutant(
        "LG11",
        "an own entry does not learn its place in the shop's order",
        BOOK,
        "            listed.replace(known, entry)\n",
        "            pass\n",
        FOLDED + "test_lg11_own_unsent_entries_come_after_pulled_ones_and_learn_their_number_later",
    ),
    mutant(
        "LG11",
        "the order of arrival decides",
        ENTRY,
        "(UNSENT, device_no, device, entry_id) if seq is None else (SENT, seq)",
        "(UNSENT, device_no, device, entry_id) if seq is None else (SENT, 0)",
        FOLDED + "test_lg11_entries_in_any_order_and_twice_come_to_the_same_state",
    ),
    mutant(
        "LG3",
        "an entry that comes twice counts twice",
        BOOK,
        "        known = self._by_id.get(entry.id)\n",
        "        known = None\n",
        FOLDED + "test_lg11_entries_in_any_order_and_twice_come_to_the_same_state",
    ),
    mutant(
        "LG12",
        "an entry of an unknown kind is not counted",
        BOOK,
        "        if not known:\n            self.kept.append(entry.id)\n",
        "        if not known:\n            pass\n",
        FOLDED + "test_lg12_an_unknown_kind_of_entry_is_passed_over_without_harm",
    ),
)
