"""The hold points: what each of them closes, who signs it, and what makes it fall [common practice].

A Hold carries two signatures of two different people. Kept once, for the book on the phone and for the shop's rulings.
"""

#: How somebody signs a Hold -> roles that may. A lead or owner may stand in for a builder or dyno operator; he is not
#: the lead of that Hold then.
ROLES = {
    "builder": ("builder", "lead", "owner"),
    "operator": ("dyno operator", "lead", "owner"),
    "second": ("builder", "dyno operator", "lead"),
    "lead": ("lead", "owner"),
    "owner": ("owner",),
}
WORDS = {
    "builder": "builder",
    "operator": "dyno operator",
    "second": "second person",
    "lead": "lead",
    "owner": "owner",
}
#: These neither did nor typed the work that they sign for.
LOOKERS = ("lead", "second")
#: No second person ever signs from afar.
LEADS = ("lead", "owner")


class Line:
    """A line of the build in its default order. `steps`: work steps of this book that belong to it; `beside`: what they
    leave out. The signers answer for that, and for the whole line where the engine has none of its steps."""

    def __init__(self, no, words, steps=(), beside=""):
        self.no = no
        self.words = words
        self.steps = steps
        self.beside = beside


class Hold:
    """`number` is a name, not a count of time. `signers`: two of `ROLES`; `remote`: those who may sign away from the
    engine. `needs`: Holds that are signed before; `falls_with`: Holds with which it falls. Without `lines` its work is
    not in this book."""

    def __init__(
        self, id, number, title, before, signers, remote, looks_at, barred, falls, needs=(), falls_with=(), lines=()
    ):
        self.id = id
        self.number = number
        self.title = title
        self.before = before
        self.signers = signers
        self.remote = remote
        self.looks_at = looks_at
        self.barred = barred
        self.falls = falls
        self.needs = needs
        self.falls_with = falls_with
        self.lines = lines
        self._name = "Hold " + number + ", " + title

    def name(self):
        return self._name


BUILT = ("builder", "lead")
SEEN = ("builder", "second")
RUN = ("operator", "lead")
LOOKED = ("operator", "second")
AWAY = ("lead",)
TO_PRIMING = (
    "parts_accepted",
    "trial_accepted",
    "clean_and_plugged",
    "crank",
    "short_block",
    "heads_on",
    "pushrod_order",
)

HOLDS = (
    Hold(
        "parts_accepted",
        "1",
        "parts accepted",
        "trial assembly",
        BUILT,
        AWAY,
        "identity and counts, inspection table, machine shop's signed sheet",
        "any STOP, open counts, an overdue instrument",
        "a part of it is exchanged, an instrument used turns out wrong, an inspection value is corrected",
        lines=(
            Line(1, "job opened: engine specification, depth of the job, part numbers, spec cards, lubricants"),
            Line(2, "engine that comes back: readings as found, then teardown"),
            Line(3, "parts and identity: what each part is, counts, wrong parts"),
            Line(4, "inspected as received: crack tests, threads chased, plugs out, deburred, first wash"),
            Line(5, "blocks and heads: flatness, surface finish, deck height"),
            Line(6, "main caps torqued, main housing bores", ("main_housings",), "main caps torqued"),
            Line(7, "crank: journals, runout, straightness", ("journals",), "crank: runout and straightness"),
            Line(8, "rods: crank end, wrist-pin fit"),
            Line(9, "bores final-honed and measured with the main caps torqued, pistons, piston-to-wall"),
            Line(10, "washed after honing; cam bearings fitted and checked with the cam"),
            Line(11, "main bearing clearance, crank end play", ("main_bearing_clearance",), "crank end play"),
            Line(12, "rod bearing clearance, side clearance"),
            Line(13, "lifter bores, lifters"),
            Line(14, "heads: guides, seats, tip heights, springs on the tester"),
        ),
    ),
    Hold(
        "trial_accepted",
        "2",
        "trial accepted",
        "machining and balance",
        BUILT,
        AWAY,
        "clearances, deck, squish, compression ratio, piston-to-valve, rotating clearance",
        "minimum cylinders not measured",
        "part, gasket or timing of the trial changes before the machining",
        needs=("parts_accepted",),
        lines=(
            Line(
                15,
                "trial assembly: rotating clearance with the cam in, deck, true top dead centre, squish, volumes, "
                "compression ratio, piston-to-valve, marks and pushrod length",
            ),
        ),
    ),
    Hold(
        "pushrod_order",
        "7",
        "pushrod order",
        "the pushrods are ordered",
        BUILT,
        AWAY,
        "marks on at least 6 valves (in-line engine 4), spread, length corrected to the final engine and for the "
        "checking lifter, ordered length",
        "fewer valves, a spread above 0.025 in unexplained",
        "deck, head, gasket, cam, rocker, stud, lifter or valve tip changes before the pushrods are fitted",
        needs=("parts_accepted",),
        lines=(
            Line(
                16,
                "pushrod length from the marks, corrected for every difference to the final engine",
                ("pushrod_length",),
                "length corrected for every difference to the final engine",
            ),
        ),
    ),
    Hold(
        "clean_and_plugged",
        "3",
        "clean and plugged",
        "any final assembly",
        BUILT,
        AWAY,
        "wash photo, plug count, oil applied, machine shop's sheet and balance certificate",
        "a plug row empty",
        "any grinding, filing, drilling or honing after the wash; a plug out again",
        needs=("trial_accepted",),
        lines=(
            Line(17, "corrections (grinding, milling, gasket choice) and what they ask to check again"),
            Line(18, "balanced with the final parts"),
            Line(19, "final wash, dry, oil; gallery plugs and core plugs fitted and counted"),
        ),
    ),
    Hold(
        "crank",
        "4",
        "crank",
        "the rods",
        BUILT,
        AWAY,
        "main fastener record, crank end play, rotating drag",
        "the second person of the main fasteners missing",
        "a main cap loosened; bearing halves or crank changed",
        needs=("clean_and_plugged",),
        falls_with=("clean_and_plugged",),
        lines=(
            Line(20, "rings filed and assigned to cylinders"),
            Line(
                21,
                "crank laid; mains tightened; crank end play and rotating drag again",
                ("main_cap_bolts",),
                "crank laid; crank end play and rotating drag again",
            ),
        ),
    ),
    Hold(
        "short_block",
        "5",
        "short block",
        "the short block is closed",
        BUILT,
        AWAY,
        "rod bolt stretch, ring gaps, deck, side clearance, cam degreed, piston-to-valve",
        "any value with a re-check needed",
        "a rod cap, piston, cam or timing part undone",
        needs=("crank",),
        falls_with=("crank",),
        lines=(
            Line(
                22,
                "pistons and rods in; rod bolts by stretch; side clearance; rotating drag after each cylinder",
                ("rod_bolts",),
                "pistons and rods in; side clearance; rotating drag after each cylinder",
            ),
            Line(23, "cam in, timing set, cam end play, true top dead centre, degreed"),
            Line(24, "deck clearance on all cylinders, final numbers"),
        ),
    ),
    Hold(
        "heads_on",
        "6",
        "heads on",
        "rocker work",
        BUILT,
        AWAY,
        "head gasket, torque record, its second person",
        "torque not checked by a second person, a cylinder without Hold 5",
        "a head fastener undone",
        needs=("short_block",),
        falls_with=("short_block",),
        lines=(
            Line(
                25,
                "oil pump, pickup clearance, windage tray, pan; front cover, front seal",
                ("timing_cover_bolts", "oil_pan_bolts"),
                "oil pump, pickup clearance, windage tray, front seal; pan and front cover where no step has them",
            ),
            Line(26, "damper fitted, pointer verified against true top dead centre"),
            Line(27, "lifters in, paired to lobes"),
            Line(28, "heads on: gasket, dowels, lubricant, staged torque", ("head_bolts",), "heads on: gasket, dowels"),
        ),
    ),
    Hold(
        "release_for_priming",
        "8",
        "release for priming",
        "priming and dressing",
        BUILT,
        AWAY,
        "every line accepted, deviations signed, openings capped; rocker covers loose on, not closed",
        "a line with a re-check needed, a missing photo",
        "any line reopened",
        needs=TO_PRIMING,
        falls_with=TO_PRIMING,
        lines=(
            Line(
                29,
                "final pushrods checked by size, final marks with the real springs, piston-to-valve re-check",
                ("final_marks",),
                "piston-to-valve re-check",
            ),
            Line(30, "preload or cold lash in one documented order", ("solid_lash", "hydraulic_preload")),
            Line(
                31,
                "intake manifold fit, valley cover; rocker covers tried on, not closed",
                ("intake_bolts",),
                "intake manifold fit, valley cover; rocker covers tried on, not closed",
            ),
            Line(32, "distributor gear or drive checked, oil-pump drive engagement"),
            Line(33, "build sheet complete, open findings closed, seals and caps on openings"),
        ),
    ),
    Hold(
        "dressed",
        "9",
        "dressed",
        "fluids",
        SEEN,
        (),
        "dressed, compatible, dry joints",
        "a STOP of the risk list open, a line of the dressing open",
        "intake, distributor, exhaust, front drive, fuel line or sensor taken off",
        needs=("release_for_priming",),
    ),
    Hold(
        "primed",
        "10",
        "primed",
        "turning by starter, checks before the start",
        SEEN,
        (),
        "oil seen at every rocker; then rocker covers closed for good (gasket, torque, pieces counted out)",
        "fewer ticks than valves, pump drive not back in, a cover open",
        "never run: oil drained or prime too old; oil pump, its drive or a gallery opened",
        needs=("dressed",),
        falls_with=("release_for_priming", "dressed"),
    ),
    Hold(
        "permission_to_fire",
        "11",
        "permission to fire",
        "first fire",
        RUN,
        (),
        "every line of the check before the start; ceilings and abort values of the plan",
        'any "no", plan or abort values missing, the list older than 2 h',
        "anything of dressing or priming reopened; an abort value changed, 2 h over",
        needs=("primed",),
        falls_with=("dressed", "primed"),
    ),
    Hold(
        "run_in",
        "12",
        "run-in complete",
        "inspection after run-in",
        LOOKED,
        (),
        "minutes in band from the log, no alarm open",
        "minutes short, an alarm open, a lifter not turning",
        "cam or a lifter changed (run-in starts anew); log replaced",
        needs=("permission_to_fire",),
    ),
    Hold(
        "first_load",
        "13",
        "inspection accepted",
        "first load",
        SEEN,
        (),
        "filter, lash, fasteners, leaks",
        "a STOP open, filter not cut",
        "anything opened again after it",
        needs=("run_in",),
    ),
    Hold(
        "full_throttle",
        "14",
        "permission for full throttle",
        "full throttle",
        RUN,
        (),
        "ladder of first load, calibration, plan spoken",
        "ladder ended early, calibration out, limiter unset",
        "abort or damage finding; calibration disturbed; a ceiling or abort value changed",
        needs=("first_load",),
        falls_with=("first_load",),
    ),
    Hold(
        "next_ceiling",
        "15.n",
        "next ceiling",
        "the next ceiling",
        LOOKED,
        (),
        "last pull looked through, ceiling and abort values spoken",
        "an abort not explained, a ceiling above the weakest part",
        "abort; anything opened; its ceiling or an abort value changed",
        needs=("full_throttle",),
        falls_with=("full_throttle",),
    ),
    Hold(
        "last_ceiling",
        "15, last step",
        "last ceiling",
        "the last ceiling",
        RUN,
        (),
        "last pull looked through, ceiling and abort values spoken",
        "an abort not explained, a ceiling above the weakest part",
        "abort; anything opened; its ceiling or an abort value changed",
        needs=("full_throttle",),
        falls_with=("full_throttle",),
    ),
    Hold(
        "tune_frozen",
        "16",
        "tune frozen",
        "acceptance after the dyno",
        RUN,
        AWAY,
        "every field of the final setup",
        "a knock or lean verdict in the setup",
        "any field of the setup changes",
        needs=("last_ceiling",),
    ),
    Hold(
        "preservation",
        "17",
        "mechanical acceptance",
        "preservation and papers",
        SEEN,
        (),
        "the engine after the dyno",
        "a STOP open, a WARN without an answer",
        "anything opened after it; a further pull",
        needs=("tune_frozen",),
    ),
    Hold(
        "hand_over",
        "18",
        "release to the owner",
        "leaving the shop",
        ("lead", "owner"),
        ("lead", "owner"),
        "the sheet",
        "Hold 17 missing, a blank of the sheet not accepted",
        "any change on engine or sheet after it",
        needs=("preservation",),
    ),
)
BY_ID = {hold.id: hold for hold in HOLDS}


def roles(hold_id, signs_as):
    """Roles that may sign that Hold in that way; () where nobody may. Of a Hold that only a newer app knows, as far as
    this version can tell."""
    hold = BY_ID.get(hold_id)
    return ROLES.get(signs_as, ()) if hold is None or signs_as in hold.signers else ()


def may_be_away(hold_id, signs_as):
    """Whether it may be signed away from the engine, from the frozen values and photos."""
    hold = BY_ID.get(hold_id)
    return signs_as in LEADS if hold is None else signs_as in hold.remote
