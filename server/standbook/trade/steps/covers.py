"""Covers and other small joints by plain torque: timing cover, oil pan, intake manifold.

Each is a work step of its own, since each has its own torque, wrench, gasket and sealer; what they are made of stands
here once. Without the card's order: from the middle outward, from row to row (common practice).
"""

from .. import joint
from ..work import Caution, Finding, Place, wants
from . import joints

#: As many as such a joint can have: fewer than the smallest pattern, or more than any, is a slip.
FEWEST, MOST = 4, 24
#: As many along one side as a screen shows; more lie at the ends.
ALONG = 8
SOURCES = joints.SOURCES + ("Faces, gasket and sealer by the card of the gasket's maker.",)
CAUTIONS = joints.CAUTIONS + (
    Caution("solvents", "Solvents and sealer: fresh air, no flame, gloves on?", "tap", "gasket_part"),
    Caution("inch_pounds", "Small bolts: does the card say inch-pounds, and is the wrench set in the same?"),
)
DIRTY = "Faces not degreased, flat and dry: the joint will weep, whatever the torque. Clean them first."


class Cover:
    """One sort of small joint, declared as a step file declares its step."""

    NEEDS = ()
    STYLE = "joint"
    INSTRUMENTS = ("torque_wrench",)
    SOURCES = SOURCES
    CAUTIONS = CAUTIONS
    derive = staticmethod(joints.derive)
    expect = staticmethod(joints.expect)

    def __init__(self, id, title, joint_id, words, sides, purpose):
        self.ID = id
        self.TITLE = title
        self.STAGE = "release_for_priming"
        self.PURPOSE = purpose
        self._joint = (joint_id, words, sides)
        #: One object for as long as the step stands: an engine keeps by it what was made.
        self._worked = self._joints

    def applies(self, engine):
        """An engine whose specification counts these fasteners; the field has the step's name."""
        count = engine.number(self.ID)
        return count is not None and FEWEST <= count <= MOST

    def joints_of(self, engine):
        """The one joint of this step."""
        return engine.once(self._worked)

    def _joints(self, engine):
        if not self.applies(engine):
            return []
        joint_id, words, sides = self._joint
        bolts = [
            joint.Fastener(number, "bolt " + str(number), x * joints.PITCH, y * joints.PITCH)
            for number, x, y in _around(engine.number(self.ID))
        ]
        return [joint.Joint(joint_id, words, joints.by_number(bolts), sides)]

    def groups(self, engine):
        """How it is tightened, with gasket, faces and sealer; then what was done."""
        found = self.joints_of(engine)
        return [joint.setup_group(_sealing())] + [joint.joint_group(one) for one in found] if found else []

    def findings(self, bench, only=None):
        """What does not fit together in setting, passes and check; faces that were not ready."""
        found = joints.findings_of(self.joints_of)(bench, only)
        if wants(only, "how") and bench.text("faces") == "no":
            found.append(Finding("faces", "HOLD", DIRTY, "faces", "joint"))
        return found


def _around(count):
    """(number, x, y) of bolts around a cover that nobody gave coordinates of: along both sides, many at its ends too.

    Numbered along the first side, then end by end from there, then along the other side, front first.
    """
    ends = max(0, (count - 2 * ALONG + 1) // 2)
    first = (count - 2 * ends + 1) // 2
    sides = [list(range(1, first + 1)), list(range(first + 2 * ends + 1, count + 1))]
    found = [(number, x, 0.0) for x, number in joints.spread(sides[0], sides)]
    for at in range(ends):
        for which, x in enumerate((-0.5, first - 0.5)):
            found.append((first + 2 * at + which + 1, x, at + 1.0))
    return found + [(number, x, ends + 1.0) for x, number in joints.spread(sides[1], sides)]


def _sealing():
    return [
        Place("gasket_part", "Gasket, by its part number", "gasket", kind="text"),
        Place("faces", "Faces degreased, flat and dry", "faces", kind="flag", choices=joints.YES_NO),
        Place(
            "sealer", "Sealer and where it goes, with the time it was put on", "sealer", kind="text", required=False,
            hint="None where the gasket's card forbids it.",
        ),
    ]  # fmt: skip


COVERS = (
    Cover(
        "timing_cover_bolts", "Timing cover bolts", "TC", "Timing cover", ("left side", "right side"),
        "Faces clean and dry, the seal's lip greased, the cover lined up on the crank before a bolt bears.",
    ),
    Cover(
        "oil_pan_bolts", "Oil pan bolts", "OP", "Oil pan", ("left side", "right side"),
        "Pickup clearance measured and looked at once more, nothing left inside, corners sealed as the card has it.",
    ),
    Cover(
        "intake_bolts", "Intake manifold bolts", "IM", "Intake manifold", ("left side", "right side"),
        "Dry fit and end gaps measured first, end rails sealed, the manifold set down once and straight.",
    ),
)  # fmt: skip
