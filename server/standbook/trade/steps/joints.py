"""What the steps of bolted joints share: cautions, sources, and how fasteners lie where nobody gave coordinates."""

from .. import joint_findings, joint_values, plain
from ..work import Caution
from .common import YES_NO

__all__ = (
    "BLIND", "CAUTIONS", "PITCH", "SOURCES", "YES_NO", "by_number", "derive", "expect", "findings_of", "numbered_once",
    "spread",
)  # fmt: skip

SOURCES = (
    "Setting, angle, steps and lubricant come from the part maker's card.",
    "Order from the middle outward, steps of a half and three quarters, two people: common practice. "
    "The card's drawing wins.",
    "Wrench used between 20 and 100 % of its range: ISO 6789.",
)
CAUTIONS = (
    Caution("pull", "Pull the wrench, never push: feet firm, socket square on the head?", "tap"),
    Caution(
        "turning", "Stop if one keeps turning without getting tighter: it yields or the thread pulls. Take it out."
    ),
    Caution("loosen", "Never loosen with a click wrench. A socket that slips at this torque breaks hands."),
)
#: Of bolts that go into the block.
BLIND = Caution(
    "blind", "Fluid in a blind hole cracks the casting: holes blown out and dry, bolts short enough?", "tap"
)
#: Where no coordinates were typed the fasteners lie evenly: 4 in apart, in mm. It orders and draws, nothing more.
PITCH = 4.0 * 25.4


def numbered_once(rows):
    """Whether rows of numbers name 1, 2, 3 … once each."""
    numbers = [number for row in rows for number in row]
    return bool(numbers) and plain.in_order(numbers) == list(range(1, len(numbers) + 1))


def spread(row, rows):
    """(place along the longest row, number) of one row: a shorter one lies in its middle."""
    longest = max([len(each) for each in rows])
    return [(at + (longest - len(row)) / 2.0, number) for at, number in enumerate(row)]


def by_number(fasteners):
    return plain.in_order(fasteners, key=lambda one: int(one.number))


def derive(bench, only=None):
    """The wrench setting."""
    return joint_values.of_setup(bench, only)


def findings_of(joints_of):
    """The findings of a step with these joints: what does not fit together in setting, passes and check."""

    def findings(bench, only=None):
        return joint_findings.of_step(bench, joints_of(bench.engine), only)

    return findings


def expect(_bench, _place_id):
    """Nothing here is measured."""
    return
