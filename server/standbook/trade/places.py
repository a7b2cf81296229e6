"""Every place that any engine can have, by step: what an entry may say at a place does not wait for its engine."""

from .engine import Engine
from .steps import BY_ID

#: The largest engine of the specification: a V with sixteen cylinders, each on a rod journal of its own, and more
#: head bolts than any head has. Its lifters are of either sort.
LARGEST = {
    "cylinders": {"text": "16", "unit": "1"},
    "main_bearings": {"text": "17", "unit": "1"},
    "numbering": [list(range(1, 9)), list(range(9, 17))],
    "head_bolt_rows": [list(range(1, 61))],
    "rod_bolt_method": "stretch",
    "main_bolts": {"text": "6", "unit": "1"},
    "timing_cover_bolts": {"text": "24", "unit": "1"},
    "oil_pan_bolts": {"text": "24", "unit": "1"},
    "intake_bolts": {"text": "24", "unit": "1"},
}
_kinds = {}


def kind_of(step_id, place_id):
    """Kind of quantity, or choice, flag, text, of a place; None for a step or place that this version does not know."""
    if step_id not in BY_ID:
        return None
    kind_of_step = BY_ID[step_id].kind_of
    if kind_of_step is not None:
        return kind_of_step(place_id)
    if step_id not in _kinds:
        _kinds[step_id] = {}
        for lifters in ("flat_solid", "flat_hydraulic"):
            for place in BY_ID[step_id].places(Engine(dict(LARGEST, lifter_kind=lifters))):
                _kinds[step_id][place.id] = place.kind
    return _kinds[step_id].get(place_id)
