"""Main cap bolts or studs: the centre cap first, then outward; inner ones before outer ones, cross bolts last."""

from .. import joint
from ..work import Place
from . import joints

ID = "main_cap_bolts"
TITLE = "Main cap bolts"
STAGE = "crank"
NEEDS = ("main_bearing_clearance",)
STYLE = "joint"
PURPOSE = (
    "Caps by their numbers and arrows, backs of the shells dry, faces oiled. Pass by pass from the centre cap outward; "
    "before the last pass the crank is tapped fore and aft, so that the thrust main lines up."
)
INSTRUMENTS = ("torque_wrench",)
SOURCES = joints.SOURCES
CAUTIONS = joints.CAUTIONS + (joints.BLIND,)
JOINT = "MC"
#: Across one cap of two, four or six: in which ring each is tightened (inner, outer, cross), front view from the left.
RINGS = {2: (0, 0), 4: (1, 0, 0, 1), 6: (2, 1, 0, 0, 1, 2)}


def applies(engine):
    """An engine whose main cap bolts were given in the specification."""
    return engine.number("main_bolts") in RINGS and engine.number("main_bearings") is not None


def _joints(engine):
    """All caps are one joint: they are brought up together."""
    if not applies(engine):
        return []
    rings, bolts = RINGS[engine.number("main_bolts")], []
    for cap in range(engine.number("main_bearings")):
        for across, ring in enumerate(rings):
            number = cap * len(rings) + across + 1
            words = "cap " + str(cap + 1) + " bolt " + str(across + 1)
            bolts.append(joint.Fastener(number, words, cap * joints.PITCH, across * joints.PITCH / 2.0, ring))
    one = joint.Joint(JOINT, "Main caps", bolts, ("left side", "right side"), (JOINT + ".thrust",))
    return [one]


def joints_of(engine):
    """The one joint of this step."""
    return engine.once(_joints)


def groups(engine):
    """How the caps are tightened, then what was done."""
    return [joint.setup_group()] + [joint.joint_group(one, (_thrust(one),)) for one in joints_of(engine)]


def _thrust(one):
    words = "Crank tapped fore and aft, the thrust main lines up"
    return Place(one.place("thrust"), words, "thrust main", kind="flag", required=False, choices=joints.YES_NO)


derive, expect = joints.derive, joints.expect
findings = joints.findings_of(joints_of)
