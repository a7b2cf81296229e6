"""One Hold of one build: what it rests on, what stands in its way, which signatures count."""

from . import holds, plain
from .entry import saw

ON_PAPER = "Its work is not in this book yet: keep and sign it on paper."
ACCEPTED = ("accepted", "accepted by lead")

SIGNED, HALF, READY, WAITING, FALLEN = "signed", "half signed", "ready to sign", "waiting", "re-check needed"


def work(build, hold_id):
    """The worked-out Hold, kept by the build until its next entry. Raises Refusal for an unknown one."""
    if hold_id not in holds.BY_ID:
        raise plain.Refusal("hold_unknown", "This app does not know that Hold: update it.", {"hold": hold_id})
    return build.told(("hold", hold_id), lambda: HoldWork(build, holds.BY_ID[hold_id]))


class LineWork:
    """A line on this engine: ids of its steps, and what the signers answer for (`asks`, "" = nothing)."""

    def __init__(self, line, here):
        self.no = line.no
        self.steps = [name for name in line.steps if name in here]
        self.asks = line.beside if self.steps else line.words


class HoldWork:
    """Everything about one Hold that the screens need.

    `counted`: how somebody signs -> the signature that counts; `fallen`: id of any other signature -> why, in words.
    """

    def __init__(self, build, hold):
        self.build = build
        self.hold = hold
        self.facts = build.facts()
        self.lines, self.signatures, self.openings = build.settled(("hold", hold.id), self._settled)
        self.steps = [build.work(name) for line in self.lines for name in line.steps]
        self.counted, self.fallen = {}, {}
        if self.signatures:
            self._count()

    def _settled(self):
        """What no reading changes: the lines, the signatures, and when it was opened again."""
        here = {step.id: True for step in self.build.steps()}
        lines = [LineWork(line, here) for line in self.hold.lines]
        named = [
            [e for e in of if e.body["hold"] == self.hold.id]
            for of in (self.facts.hold_signatures, self.facts.hold_openings)
        ]
        return lines, named[0], named[1]

    # --- what it rests on ---

    def uses(self):
        """Ids of the readings and of the earlier Holds' signatures on which it rests, in order."""
        return plain.keys_in_order(self._used())

    def _used(self):
        found = {}
        for step in self.steps:
            found.update(step.used())
        for hold_id in self.hold.falls_with:
            below = work(self.build, hold_id)
            for signs_as in below.hold.signers:
                if signs_as in below.counted:
                    found[below.counted[signs_as].id] = True
        return found

    def doers(self):
        """People whose readings it rests on: person -> True."""
        return {reading.person: True for step in self.steps for reading in step.counting()}

    def missing(self):
        """Why it cannot be signed yet, in words."""
        if not self.hold.lines:
            return [ON_PAPER]
        unsigned = [one.hold.name() + " is not signed." for one in self._unsigned()]
        return unsigned + [step.step.title + ": " + step.state() + "." for step in self._unaccepted()] + self._stops()

    def waits(self):
        """Whether it cannot be signed yet."""
        return not self.hold.lines or bool(self._unsigned() or self._unaccepted() or self._stops())

    def _unsigned(self):
        """The Holds that are signed before this one, and are not."""
        before = [work(self.build, hold_id) for hold_id in self.hold.needs]
        return [one for one in before if one.state() != SIGNED]

    def _unaccepted(self):
        return [step for step in self.steps if step.state() not in ACCEPTED]

    def _stops(self):
        """What stops the work anywhere on this engine, in words."""
        return self.build.told("stops", self._open_stops)

    def _open_stops(self):
        return [
            flag["words"]
            for step in self.build.steps()
            for flag in self.build.work(step.id).flags()
            if flag["open"] and flag["severity"] == "STOP"
        ]

    # --- signatures ---

    def _count(self):
        """Sorts the signatures: those that count, by how they sign; and why each of the others does not."""
        used, doers = self._used(), self.doers()
        for entry in self.signatures:
            why = self._against(entry, used, doers)
            if why is None:
                self.counted[entry.body["signs_as"]] = entry
            else:
                self.fallen[entry.id] = why

    def _against(self, entry, used, doers):
        """Why a signature does not count, in words; None where it does."""
        body = entry.body
        for opening in self.openings:
            if not saw(entry, opening):
                return "opened again: " + opening.body["reason"]
        if dict.fromkeys(body["uses"], True) != used:
            return "what it rests on is another since"
        if self._unanswered(body):
            return "a line stands without an answer"
        if body["at"] != "engine" and not holds.may_be_away(self.hold.id, body["signs_as"]):
            return "signed away from the engine"
        return self.not_him(entry.person, body["signs_as"], doers)

    def not_him(self, person, signs_as, doers):
        """Why this person cannot sign so, in words; None where nothing stands against it. Roles the shop rules on."""
        if signs_as in holds.LOOKERS and person in doers:
            return "did work of this Hold himself: somebody else signs as " + holds.WORDS[signs_as]
        for other in self.hold.signers:
            if other != signs_as and other in self.counted and self.counted[other].person == person:
                return "signs already as " + holds.WORDS[other] + ": a Hold takes two people"
        return None

    def _unanswered(self, body):
        answered = {answer["line"]: True for answer in body["lines"]}
        return [line for line in self.lines if line.asks and line.no not in answered]

    # --- state ---

    def state(self):
        """signed, half signed, ready to sign, waiting, re-check needed."""
        return self.build.told(("hold state", self.hold.id), self._state)

    def _state(self):
        if not self.signatures:
            return WAITING if self.waits() else READY
        if not self.counted or self._lapsed() or self._stops() or self._fallen_below():
            return FALLEN
        return SIGNED if len(self.counted) == len(self.hold.signers) else HALF

    def _lapsed(self):
        """Steps that were signed for, or begun since, and are not accepted. A step that a newer version of this book
        brought and nobody began makes nothing fall: its line was answered for."""
        known = {}
        for hold_signature in self.signatures:
            known.update(dict.fromkeys(hold_signature.body["steps"], True))
        return [
            step for step in self.steps if (step.step.id in known or step.started()) and step.state() not in ACCEPTED
        ]

    def _fallen_below(self):
        return [hold_id for hold_id in self.hold.falls_with if work(self.build, hold_id).state() != SIGNED]
