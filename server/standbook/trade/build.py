"""One engine's build: entries in, state and step views out. Kept inside and fed entry by entry."""

from . import engine as specification
from . import flags, holdviews, holdwork, jointviews, meanwhile, packing, plain, stepwork, views
from .book import Book
from .entry import is_known
from .facts import Facts
from .memos import Memos
from .steps import BY_ID, STAGES, STEPS
from .steps import step as step_by_id


class Build:
    """The state of one build.

    `names`: person id -> name, so that the book speaks of people by name. Steps are worked out when they are looked at
    and kept until an entry touches them.
    """

    def __init__(self, build_id, names=None):
        self.build_id = build_id
        self.book = Book(build_id)
        self.names = names if names is not None else {}
        self.memos = Memos()
        self.refresh()

    def add(self, text, seq):
        """Takes one entry text with the shop's number (None while unsent); the same id again only learns its number."""
        self.take(plain.read_json(text), seq)

    def take(self, data, seq):
        """The same for an entry that has been read already."""
        self._note(self.book.add(data, seq))

    def take_packed(self, packed):
        """The same for many entries of this build of which each value came once."""
        entries = packing.entries(packed)
        for entry in entries:
            self._note(self.book.take(entry))
        entries.clear()  # as in `Book.empty`

    def _note(self, entry):
        """Another entry of this build, None of another's, is in the book: what rests on it is worked out anew."""
        if entry is None or entry.kind == "photo" or self._facts is None:  # nothing was looked at yet
            return
        self._told = {}
        if is_known(entry) and entry.kind == "reading" and entry.why != "part_changed":
            self._touch(entry.step, entry.place)
        else:
            self.refresh()

    def refresh(self):
        """Works everything out anew when it is next looked at."""
        self.memos.forget()
        self._facts, self._works, self._found, self._folds, self._settled, self._told = None, {}, {}, {}, {}, {}

    def close(self):
        """Lets go of the book: for the phone's collector any word that looks like the build's address holds it."""
        self.book.empty()
        self.book = Book(self.build_id)
        self.refresh()

    def settled(self, what, make):
        """What `make()` gives, kept until more than a reading comes."""
        if what not in self._settled:
            self._settled[what] = make()
        return self._settled[what]

    def told(self, what, make):
        """What `make()` gives, kept until the next entry."""
        if what not in self._told:
            self._told[what] = make()
        return self._told[what]

    def _touch(self, step_id, place_id):
        """A place has another reading: what looked at it is worked out anew, its step and others that looked there."""
        self._found.get(step_id, {}).pop(place_id, None)
        self._folds.get(step_id, {}).pop(place_id, None)
        self._works.pop(step_id, None)
        for key in self.memos.touch(step_id, place_id):
            self._works.pop(key[0], None)

    def name(self, person):
        return self.names.get(person, person)

    def facts(self):
        if self._facts is None:
            self._facts = Facts(self.book)
        return self._facts

    def fold(self, step_id, place):
        """What a place of a step says."""
        return self.book.fold(step_id, place, self.facts().steps_apart)

    def folds(self, step_id, places):
        """The same of all places of a step: place id -> fold."""
        folds = self._folds.get(step_id)
        if folds is None:  # in its size at once: what grows leaves holes, and the phone searches them for room
            folds = self._folds[step_id] = dict.fromkeys([place.id for place in places])
        elif len(folds) == len(places):
            return folds
        for place in places:
            if folds.get(place.id) is None:
                folds[place.id] = self.fold(step_id, place)
        return folds

    def fold_with(self, step_id, place, entry):
        """The same with one more reading that is not in the book."""
        return self.book.fold_with(step_id, place, self.facts().steps_apart, (entry,))

    def found(self, step_id):
        """The accepted readings of a step, by place: all that stand there, and what else benches looked for."""
        found = self._found.get(step_id)
        if found is None:
            places = self.facts().layout(BY_ID[step_id]).places
            folds = self.folds(step_id, places)
            found = self._found[step_id] = folds.copy()
            for place in places:
                found[place.id] = folds[place.id].accepted()
        return found

    def at(self, step_id, place_id):
        """The accepted reading of a place, None without one."""
        place = self.facts().layout(BY_ID[step_id]).by_id.get(place_id)
        return None if place is None else self.fold(step_id, place).accepted()

    def before(self, step_id, place_id, rank):
        """What stood set at a place before that rank in the order of the book, None without: for the same bench."""
        place = self.facts().layout(BY_ID[step_id]).by_id.get(place_id)
        return None if place is None else self.fold(step_id, place).set_before(rank)

    def work(self, step_id):
        """The worked-out step. Raises Refusal for an unknown one."""
        if step_id not in self._works:
            self._works[step_id] = stepwork.StepWork(self, step_by_id(step_id))
        return self._works[step_id]

    def steps(self):
        """The steps that this engine has."""
        return self.settled("steps", self._steps_here)

    def _steps_here(self):
        engine = self.facts().engine
        return [step for step in STEPS if step.applies(engine)]

    def state(self):
        """The build at a glance (`State` of the screens)."""
        facts = self.facts()
        body = facts.opened.body if facts.opened else {"job": "", "title": "", "note": ""}
        works = [self.work(step.id) for step in self.steps()]
        return {
            "build": self.build_id,
            "job": body["job"],
            "title": body["title"],
            "note": body["note"],
            "count": self.book.count(),
            "last_touch": self._last_touch(),
            "engine": self.settled("engine", self._engine_views),
            "limits": self.settled("limits", self._limits_view),
            "stages": [stage for stage in [self._stage(*named, works) for named in STAGES] if stage["steps"]],
            "holds": holdviews.summaries(self),
            "flags": self._flags(works),
            "photos": views.photo_views(self, None),
            "next": self._next(works),
        }

    def state_text(self):
        """The same as JSON text: what no reading changes is written once."""
        state = self.state()
        engine = state.pop("engine")
        written = self.settled("engine text", lambda: plain.answer_json({"engine": engine})[:-1])
        return plain.Written(written + "," + plain.answer_json(state)[1:])

    def step(self, step_id):
        """One step with all its places and values (`StepView` of the screens)."""
        return views.step_view(self.work(step_id))

    def hold(self, hold_id):
        """One Hold with what it rests on (`HoldView` of the screens). Raises Refusal for an unknown one."""
        return holdviews.view(holdwork.work(self, hold_id))

    def guide(self, step_id):
        """The next instruction of a guided step. Raises Refusal for a step without one."""
        work = self.work(step_id)
        if work.step.joints_of is not None:
            return jointviews.guide(work)
        if work.step.guide is None:
            raise plain.Refusal("step_not_guided", "This work step has no guide: open its table.", {"step": step_id})
        return work.step.guide(work.bench, work.place_status)

    def _stage(self, stage, title, works):
        return {
            "id": stage,
            "title": title,
            "steps": [views.summary(work) for work in works if work.step.stage == stage],
        }

    def _flags(self, works):
        found = self.settled("engine flags", self._engine_flags) + self._book_flags()
        for work in works:
            found.extend(work.flags())
        return flags.by_weight(found)

    def _engine_flags(self):
        """What is missing in the specification or does not fit together; a lead can accept it with a reason."""
        if not self.facts().opened:
            return []
        found = []
        for problem in self.facts().engine.problems():
            name, words = "engine." + problem["field"], "Engine: " + problem["message"]
            decision = self.facts().decision_about(None, name)
            accepted = decision is not None and decision.body["decision"] == "accept"
            answer = flags.BY_LEAD + decision.body["reason"] if accepted else None
            found.append(flags.flag(name, "WARN", "engine", words, answer=answer, wants_lead=not accepted))
        return found

    def _book_flags(self):
        """What the book holds that cannot be looked at here: newer limits, newer entries, places that are gone."""
        facts, found = self.facts(), []
        if facts.needs_blob():
            words = "The limits frozen for this engine are not on this device yet: connect once."
            found.append(flags.flag("limits_table", "HOLD", "missing", words))
        if facts.limits.unread:
            words = (
                str(facts.limits.unread)
                + " of this engine's limits are of a newer version: update before judging by them."
            )
            found.append(flags.flag("limits_unread", "HOLD", "missing", words))
        if self.book.kept:
            words = (
                str(len(self.book.kept))
                + " entries were written by a newer version; they are kept. Update to see them."
            )
            found.append(flags.flag("newer_entries", "NOTE", "missing", words))
        found.extend(self.settled("meanwhile", lambda: meanwhile.of_engine(self)))
        read = [step for step in STEPS if self.book.places_read(step.id)]
        return found + [flag for step in read for flag in self._lost_places(step)]

    def _lost_places(self, step):
        """Readings at places that this engine no longer has, since its specification was corrected."""
        read = self.book.places_read(step.id)
        gone = self.settled(("gone", step.id, len(read)), lambda: self._gone(step, read))
        lost = self.book.count_live(step.id, gone) if gone else 0
        if not lost:
            return []
        words = step.title + ": " + str(lost) + " readings belong to places that this engine no longer has."
        return [flags.flag("lost_places." + step.id, "WARN", "engine", words, wants_lead=False)]

    def _gone(self, step, read):
        """Those of the places that were read which this engine does not have."""
        facts = self.facts()
        places = facts.layout(step).by_id if step.applies(facts.engine) else {}
        return [place for place in read if place not in places]

    def _next(self, works):
        for work in works:
            place = work.next_place()
            if place is not None:
                return {"step": work.step.id, "place": place.id, "words": work.step.title + ": " + place.words}
        return None

    def _last_touch(self):
        entry = self.book.last()
        if entry is None:
            return None
        return {"at": entry.made_at, "person": self.name(entry.person), "words": views.touch_words(self, entry)}

    def _engine_views(self):
        found = []
        entries = self.facts().engine_entries
        for field in specification.FIELDS:
            if field.field in entries and self.facts().engine.get(field.field) is not None:
                entry = entries[field.field]
                found.append(
                    {
                        "field": field.field,
                        "words": field.words,
                        "shown": field.shown(entry.body["value"]),
                        "entry": entry.id,
                        "person": self.name(entry.person),
                        "at": entry.made_at,
                    }
                )
        return found

    def _limits_view(self):
        facts = self.facts()
        cards = [{"id": card["id"], "version": card["version"], "title": card["title"]} for card in facts.cards()]
        frozen = facts.frozen.id if facts.frozen else None
        return {"frozen": frozen, "defaults_sha256": facts.defaults(), "needs_blob": facts.needs_blob(), "cards": cards}
