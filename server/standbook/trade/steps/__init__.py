"""The work steps in build order, and the stages: each stretch of work is named by the hold point that ends it."""

from ..work import Step
from . import journals, main_bearing_clearance, main_housings, pushrod_length, solid_lash

STAGES = (
    ("parts_accepted", "Inspection, until the parts are accepted"),
    ("pushrod_order", "Mock-up, until the pushrods are ordered"),
    ("release_for_priming", "Final assembly, until release for priming"),
)
STEPS = [Step(module) for module in (main_housings, journals, main_bearing_clearance, pushrod_length, solid_lash)]
BY_ID = {step.id: step for step in STEPS}


def step(step_id):
    """A step by its id. Raises Refusal for one that this version does not know."""
    from ..plain import Refusal

    if step_id not in BY_ID:
        raise Refusal("step_unknown", "This app does not know that work step: update it.", {"step": step_id})
    return BY_ID[step_id]
