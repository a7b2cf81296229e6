"""The work steps in build order, and the stages: each stretch of work is named by the hold point that ends it."""

from ..work import Step
from . import (
    covers,
    final_marks,
    head_bolts,
    hydraulic_preload,
    journals,
    lash_again,
    main_bearing_clearance,
    main_cap_bolts,
    main_housings,
    pushrod_length,
    rod_bolts,
    solid_lash,
)  # fmt: skip

STAGES = (
    ("parts_accepted", "Inspection, until the parts are accepted"),
    ("pushrod_order", "Mock-up, until the pushrods are ordered"),
    ("crank", "Final assembly, until the crank is in"),
    ("short_block", "Final assembly, until the short block is whole"),
    ("heads_on", "Final assembly, until the heads are on"),
    ("release_for_priming", "Final assembly, until release for priming"),
    ("first_load", "After run-in, until the inspection is accepted"),
)
_MODULES = (
    main_housings, journals, main_bearing_clearance, pushrod_length, main_cap_bolts, rod_bolts, head_bolts,
) + covers.COVERS + (final_marks, solid_lash, hydraulic_preload, lash_again)  # fmt: skip
STEPS = [Step(module) for module in _MODULES]
BY_ID = {step.id: step for step in STEPS}


def step(step_id):
    """A step by its id. Raises Refusal for one that this version does not know."""
    from ..plain import Refusal

    if step_id not in BY_ID:
        raise Refusal("step_unknown", "This app does not know that work step: update it.", {"step": step_id})
    return BY_ID[step_id]
