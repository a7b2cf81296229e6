"""The fold's share of the rules: who disagrees, what counts, in which order (LG11, LG12)."""

from tests.faults.mutants.mutant import mutant

FOLD = "server/standbook/trade/fold.py"
BOOK = "server/standbook/trade/book.py"
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
        BOOK,
        '        return other.seq is not None and other.seq <= self.data["seen"]\n',
        "        return False\n",
        FOLDED + "test_lg11_a_first_reading_by_someone_who_saw_the_other_is_no_disagreement",
    ),
    mutant(
        "LG11",
        "any difference is a disagreement, whatever the gauges explain",
        FOLD,
        "        return not judge.agree(one.number, other.number, resolution, self.steps)\n",
        "        return one.number != other.number\n",
        FOLDED + "test_lg11_first_readings_within_what_the_instruments_explain_do_not_disagree",
    ),
    mutant(
        "LG11",
        "own unsent entries come before the shop's",
        BOOK,
        "UNSENT = 1\n",
        "UNSENT = -1\n",
        FOLDED + "test_lg11_own_unsent_entries_come_after_pulled_ones_and_learn_their_number_later",
    ),
    mutant(
        "LG11",
        "an own entry does not learn its place in the shop's order",
        BOOK,
        "            entry.learn(seq)\n",
        "            entry.seq = seq\n",
        FOLDED + "test_lg11_own_unsent_entries_come_after_pulled_ones_and_learn_their_number_later",
    ),
    mutant(
        "LG11",
        "the order of arrival decides",
        BOOK,
        '(UNSENT, self.data["device_no"], self.device, self.id) if seq is None else (SENT, seq, "", self.id)',
        '(UNSENT, self.data["device_no"], self.device, self.id) if seq is None else (SENT, 0, "", "")',
        FOLDED + "test_lg11_entries_in_any_order_and_twice_come_to_the_same_state",
    ),
    mutant(
        "LG3",
        "an entry that comes twice counts twice",
        BOOK,
        '        entry = self._by_id.get(data["id"])\n',
        "        entry = None\n",
        FOLDED + "test_lg11_entries_in_any_order_and_twice_come_to_the_same_state",
    ),
    mutant(
        "LG12",
        "an entry of an unknown kind is not counted",
        BOOK,
        "        if not entry.known:\n            self.kept.append(entry)\n",
        "        if not entry.known:\n            pass\n",
        FOLDED + "test_lg12_an_unknown_kind_of_entry_is_passed_over_without_harm",
    ),
)
