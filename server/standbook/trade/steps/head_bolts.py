"""Head bolts or studs: brought up in passes from the middle outward, then seen by a second person."""

from .. import joint
from ..work import Place
from . import joints

ID = "head_bolts"
TITLE = "Head bolts"
STAGE = "heads_on"
NEEDS = ()
STYLE = "joint"
PURPOSE = (
    "Clean dry threads, the card's lubricant on threads and under the heads, washers the right way up. Pass by pass "
    "over all of them, then the second person."
)
INSTRUMENTS = ("torque_wrench",)
SOURCES = joints.SOURCES
CAUTIONS = joints.CAUTIONS + (joints.BLIND,)
COMPOSITION, STEEL, OTHER = "composition", "layered_steel", "other"
GASKETS = ((COMPOSITION, "Composition"), (STEEL, "Layers of steel"), (OTHER, "Another sort"))
GASKET = Place("gasket", "Head gasket", "gasket", kind="choice", choices=GASKETS)
SIDES = ("exhaust side", "intake side")


def applies(engine):
    """An engine whose head bolts were given in the specification."""
    return bool(_numbers(engine))


def _numbers(engine):
    """Rows of fastener numbers, each number once; nothing where the specification does not fit."""
    rows = engine.get("head_bolt_rows") or []
    return rows if joints.numbered_once(rows) else []


def _joints(engine):
    """One joint for each head: H1 the left one or the only one, H2 the right one."""
    banks = len(engine.get("numbering") or [])
    names = ("Left head", "Right head") if banks == 2 else ("Head",)
    found = []
    for at, words in enumerate(names):
        bolts = [
            joint.Fastener(number, "bolt " + str(number), x * joints.PITCH, y * joints.PITCH)
            for y, row in enumerate(_numbers(engine))
            for x, number in joints.spread(row, _numbers(engine))
        ]
        found.append(joint.Joint("H" + str(at + 1), words, joints.by_number(bolts), SIDES))
    return found


def joints_of(engine):
    """The joints of this step on an engine."""
    return engine.once(_joints)


def groups(engine):
    """How both heads are tightened, then what was done at each."""
    if not applies(engine):
        return []
    return [joint.setup_group((GASKET,))] + [joint.joint_group(one, (_retorque(one),)) for one in joints_of(engine)]


def _retorque(one):
    words = one.words + ", gone over again after the gasket has settled"
    return Place(one.place("retorque"), words, "gone over again", kind="flag", required=False, choices=joints.YES_NO)


derive, expect = joints.derive, joints.expect
findings = joints.findings_of(joints_of)
