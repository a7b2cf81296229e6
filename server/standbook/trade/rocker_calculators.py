"""The calculators of rocker geometry and pushrod length: what each takes, gives and does."""

from . import plain
from .calculator import Calculator, Choice, Input, ListInput, asked_for, wrong
from .geometry import pushrod, rocker_train, roller_tip, stamped_tip, witness_mark
from .metal import stretch
from .rocker_inputs import TRAIN, Rows, Whole, train_of, with_more

READ_TWICE = "Read each contact twice, re-inked, and take all goes together: the lever works on misread edges too."
NO_CURE = "On a shaft or a pedestal no length cures a wide mark: shim or mill the stand."
BASIS = "Lengths are compared on one basis only: caliper, overall, gauge or centre to centre."
PLANE = "A canted valve is measured and reckoned in the plane in which its rocker moves."
NET_LIFT = "Valve lift is what was measured at full lift, lash taken off."

# --- the whole linkage ------------------------------------------------------------------------------------------


def _of_sweep(sweep):
    mark = sweep.mark
    return {
        "pivot_position": sweep.pivot_position,
        "valve_lift": sweep.lift,
        "mark_width": mark.width(),
        "mark_mean": mark.mean(),
        "contact_closed": mark.closed,
        "contact_open": mark.opened,
    }


def _best(v):
    sweep = rocker_train.best(train_of(v), v["lobe_lift"])
    results = _of_sweep(sweep)
    results["centre_to_centre_length"] = sweep.length
    return results


def _centred(v):
    train = train_of(v)
    narrowest = rocker_train.best(train, v["lobe_lift"])
    shorter, longer = rocker_train.centred(train, v["lobe_lift"], narrowest)
    return {
        "short_centred_length": shorter.length if shorter else None,
        "short_mark_width": shorter.mark.width() if shorter else None,
        "long_centred_length": longer.length if longer else None,
        "long_mark_width": longer.mark.width() if longer else None,
        "mean_at_best": narrowest.mark.mean(),
    }


def _sweep(v):
    train = train_of(v)
    return _of_sweep(
        rocker_train.swept(train, rocker_train.pivot_for(train, v["centre_to_centre_length"]), v["lobe_lift"])
    )


def _position(v):
    found = rocker_train.position(train_of(v), v["pivot_position"], v["centre_to_centre_length"], v["lobe_lift"])
    return {
        "valve_lift": found.lift,
        "contact": found.contact,
        "rocker_ratio": found.ratio,
        "arm_angle": found.arm_angle,
    }


# --- the valve side of a roller tip -----------------------------------------------------------------------------


def _needed(v, key):
    """A value that only a refusal can do without."""
    if v[key] is None:
        raise wrong(key, " is missing", asked_for("length"), "input_missing")
    return v[key]


def _narrowest(v):
    roller_tip.refuse_stamped(v["rocker_kind"])
    arm, radius, lift = v["valve_arm_length"], v["roller_radius"], v["valve_lift"]
    if arm is None and radius is None:
        _needed(v, "valve_arm_length")
    return {
        "pivot_height": None if radius is None else roller_tip.best_pivot_height(radius, lift),
        "mark_width": None if arm is None else roller_tip.narrowest_width(arm, lift),
        "result": "arm square to the stem at half lift",
        "refused": False,
        "message": "",
    }


def _correction(v):
    roller_tip.refuse_stamped(v["rocker_kind"])
    arm = _needed(v, "valve_arm_length")
    raised = roller_tip.pivot_raise(arm, v["valve_lift"], v["contact_closed"], v["contact_open"])
    return {
        "raise_pivot": raised,
        "pushrod_change": pushrod.change_for_raise(raised, v["rocker_ratio"]),
        "result": _pivot_words(raised),
        "refused": False,
        "message": "",
    }


def _pivot_words(raised):
    if raised == 0.0:
        return "pivot right"
    return "pivot too low" if raised > 0.0 else "pivot too high"


def _noise(v):
    lever = roller_tip.noise_lever(v["valve_arm_length"], v["valve_lift"], v["rocker_ratio"])
    return {
        "lever": lever,
        "length_deviation": roller_tip.noise(lever, v["edge_deviation"], v["readings_per_contact"], v["goes"]),
    }


def _best_by_go(v, number, go):
    length, closed, opened = go
    try:
        raised = roller_tip.pivot_raise(v["valve_arm_length"], v["valve_lift"], closed, opened)
    except plain.MethodRefused as refusal:
        raise plain.MethodRefused(refusal.code, "Go " + str(number) + ": " + refusal.message, refusal.details) from None
    return length + pushrod.change_for_raise(raised, v["rocker_ratio"])


def _goes(v):
    each = [_best_by_go(v, number + 1, go) for number, go in enumerate(v["goes"])]
    return {"best_lengths": each, "best_length": plain.mean(each), "spread": max(each) - min(each)}


def _error_cost(v):
    pivot_off = pushrod.raise_for_change(v["length_error"], v["rocker_ratio"])
    return {"extra_width": roller_tip.extra_width(v["valve_arm_length"], v["valve_lift"], pivot_off)}


def _smear(v):
    roller_tip.refuse_stamped(v["rocker_kind"])
    arm, radius, width = _needed(v, "valve_arm_length"), v["roller_radius"], v["mark_width"]
    end, lift = v["inner_edge_made_by"], v["valve_lift"]
    if end == "open":
        _needed(v, "valve_lift")
    height = roller_tip.inner_edge_height(arm, width)
    if lift is not None:
        roller_tip.check_smear(height, lift)
    return {
        "arm_height": height,
        "pivot_height": roller_tip.smear_pivot_height(radius, height, end, lift),
        "model_pivot_height": roller_tip.sought_pivot_height(arm, radius, width, end, lift),
        "result": "pivot too low" if end == "closed" else "pivot too high",
        "refused": False,
        "message": "",
    }


# --- readings and lengths ---------------------------------------------------------------------------------------


def _witness(v):
    inner, outer, stem, chamfer = v["inner_edge"], v["outer_edge"], v["stem_diameter"], v["chamfer_width"]
    if outer < inner:
        raise wrong("outer_edge", ": this lies inboard of inner_edge, look whether the two were swapped", "both in mm")
    if outer > stem:
        raise wrong("outer_edge", ": this lies beyond the stem", "mm from the inboard edge of the stem")
    return {
        "mark_width": witness_mark.width(inner, outer),
        "mark_offset": witness_mark.offset(inner, outer, stem),
        "edge_margin": witness_mark.edge_margin(inner, outer, stem, chamfer),
    }


def _ball_end(v):
    ball, flat, circle = v["ball_diameter"], v["flat_diameter"], v["gauge_circle_diameter"]
    for key in ("flat_diameter", "gauge_circle_diameter"):
        if v[key] > ball:
            raise wrong(key, ": this is wider than the ball", "mm, no more than ball_diameter")
    if circle < flat:
        raise wrong("gauge_circle_diameter", ": this is smaller than the flat", "mm of a circle that touches the ball")
    lost, gauge_lost = pushrod.crown(ball, flat), pushrod.crown(ball, circle)
    overall = v["caliper_length"] + 2.0 * lost
    return {
        "crown_per_end": lost,
        "theoretical_length": overall,
        "centre_to_centre_length": overall - ball,
        "gauge_loss_per_end": gauge_lost,
        "gauge_length": overall - 2.0 * gauge_lost,
    }


def _order(v):
    computed = v["zero_lash_length"] + v["preload_depth"]
    ordered = pushrod.nearest_step(computed, v["length_step"])
    return {
        "computed_length": computed,
        "order_length": ordered,
        "preload_at_same_pivot": ordered - v["zero_lash_length"],
    }


def _budget(v):
    closer = plain.total([v["deck_cut"], v["head_mill"], v["gasket_thinner"]])
    return {
        "length_change": pushrod.length_budget(
            closer, v["bore_to_pushrod_angle"], v["base_circle_radius_smaller"], v["tip_higher"]
        )
    }


def _shortening(v):
    if 2.0 * v["wall_thickness"] > v["outside_diameter"]:
        raise wrong("wall_thickness", ": this is more than half the outside diameter", "the wall of the tube in mm")
    area = pushrod.tube_area(v["outside_diameter"], v["wall_thickness"])
    return {
        "tube_area": area,
        "shortening": pushrod.shortening(v["load"], v["length"], area, v["elastic_modulus"]),
    }


# --- stamped rockers --------------------------------------------------------------------------------------------


def _stamped_contacts(v):
    arm, pad, height, offset = v["valve_arm_length"], v["pad_radius"], v["pivot_height"], v["stud_offset"]
    return {"contacts": [stamped_tip.contact(arm, pad, height, offset, lift) for lift in v["lifts"]]}


def _stamped_mark(v):
    arm, pad, offset, lift = v["valve_arm_length"], v["pad_radius"], v["stud_offset"], v["valve_lift"]
    height = stamped_tip.centring_height(arm, pad, offset, lift)
    mark = stamped_tip.mark_at(arm, pad, height, offset, lift)
    raised, flat = height - v["pivot_height"], v["usable_flat_diameter"]
    return {
        "centred_pivot_height": height,
        "raise_pivot": raised,
        "pushrod_change": pushrod.change_for_raise(raised, v["rocker_ratio"]),
        "mark_width": mark.width(),
        "contact_closed": mark.closed,
        "contact_open": mark.opened,
        "edge_margin": None if flat is None else flat / 2.0 - max(abs(mark.inner), abs(mark.outer)),
    }


# --- the table --------------------------------------------------------------------------------------------------

ANGLE = Input("angle")
LENGTH = Input("length")
MAYBE_LENGTH = Input("length", False)
NONE_OR_MORE = Input("length", False, 0.0, least=0.0)
LENGTH_FROM_NONE = Input("length", least=0.0)
SIZE = Input("length", over=0.0)
MAYBE_SIZE = Input("length", False, over=0.0)
RATIO = Input("ratio", over=0.0)
KIND = Choice(roller_tip.KINDS, "roller tip")

VALVE_SIDE = {"valve_arm_length": SIZE, "valve_lift": SIZE, "rocker_ratio": RATIO}
STAMPED = {"valve_arm_length": SIZE, "pad_radius": SIZE, "pivot_height": LENGTH, "stud_offset": SIZE}
SWEEP = {
    "pivot_position": "length",
    "valve_lift": "length",
    "mark_width": "length",
    "mark_mean": "length",
    "contact_closed": "length",
    "contact_open": "length",
}
REFUSABLE = {"result": "text", "refused": "flag", "message": "text"}

ROCKER_CALCULATORS = {
    "best-pushrod": Calculator(
        with_more(TRAIN, {"lobe_lift": SIZE}),
        with_more(SWEEP, {"centre_to_centre_length": "length"}),
        _best,
        "geometry",
        (PLANE, NO_CURE),
    ),
    "centred-lengths": Calculator(
        with_more(TRAIN, {"lobe_lift": SIZE}),
        {
            "short_centred_length": "length",
            "short_mark_width": "length",
            "long_centred_length": "length",
            "long_mark_width": "length",
            "mean_at_best": "length",
        },
        _centred,
        "geometry",
        (
            PLANE,
            "Narrow first, as long as the whole mark keeps its edge margin: the lead decides about width for centre.",
        ),
    ),
    "rocker-sweep": Calculator(
        with_more(TRAIN, {"lobe_lift": SIZE, "centre_to_centre_length": SIZE, "length_off_best": MAYBE_LENGTH}),
        SWEEP,
        _sweep,
        "geometry",
        (PLANE, NO_CURE),
    ),
    "linkage-position": Calculator(
        with_more(TRAIN, {"pivot_position": LENGTH, "centre_to_centre_length": SIZE, "lobe_lift": LENGTH_FROM_NONE}),
        {"valve_lift": "length", "contact": "length", "rocker_ratio": "ratio", "arm_angle": "angle"},
        _position,
        "geometry",
        (PLANE,),
    ),
    "narrowest-mark": Calculator(
        {"rocker_kind": KIND, "valve_arm_length": MAYBE_SIZE, "roller_radius": MAYBE_SIZE, "valve_lift": SIZE},
        with_more(REFUSABLE, {"pivot_height": "length", "mark_width": "length"}),
        _narrowest,
        "geometry",
        (NET_LIFT,),
    ),
    "pushrod-correction": Calculator(
        {
            "rocker_kind": KIND,
            "valve_arm_length": MAYBE_SIZE,
            "valve_lift": SIZE,
            "rocker_ratio": RATIO,
            "contact_closed": LENGTH,
            "contact_open": LENGTH,
        },
        with_more(REFUSABLE, {"raise_pivot": "length", "pushrod_change": "length"}),
        _correction,
        "geometry",
        (READ_TWICE, NO_CURE),
    ),
    "pushrod-correction-noise": Calculator(
        with_more(
            VALVE_SIDE,
            {
                "edge_deviation": LENGTH_FROM_NONE,
                "readings_per_contact": Whole(),
                "goes": Whole(),
            },
        ),
        {"lever": "ratio", "length_deviation": "length"},
        _noise,
        "statistics",
        (READ_TWICE,),
    ),
    "pushrod-goes": Calculator(
        with_more(VALVE_SIDE, {"goes": Rows(("pushrod length", "closed contact", "open contact"))}),
        {"best_lengths": "length", "best_length": "length", "spread": "length"},
        _goes,
        "geometry",
        ("Goes that lie more than three deviations of one go apart contain a misread edge.", BASIS, NO_CURE),
    ),
    "length-error-cost": Calculator(
        with_more(VALVE_SIDE, {"length_error": LENGTH}), {"extra_width": "length"}, _error_cost, "geometry"
    ),
    "smear-only": Calculator(
        {
            "rocker_kind": KIND,
            "valve_arm_length": MAYBE_SIZE,
            "roller_radius": SIZE,
            "mark_width": SIZE,
            "inner_edge_made_by": Choice(roller_tip.INNER_ENDS, "closed"),
            "valve_lift": MAYBE_SIZE,
        },
        with_more(REFUSABLE, {"arm_height": "length", "pivot_height": "length", "model_pivot_height": "length"}),
        _smear,
        "geometry",
        ("Only for a contact that runs out and back; width alone never tells which end makes the inner edge.",),
    ),
    "witness-mark": Calculator(
        {
            "stem_diameter": SIZE,
            "chamfer_width": NONE_OR_MORE,
            "inner_edge": LENGTH_FROM_NONE,
            "outer_edge": LENGTH_FROM_NONE,
        },
        {"mark_width": "length", "mark_offset": "length", "edge_margin": "length"},
        _witness,
        "geometry",
        ("With a lash cap the stem diameter is that of the cap's flat.",),
    ),
    "checking-pushrod": Calculator(
        {"base_length": SIZE, "turns": Input("count", least=0.0), "thread_pitch": SIZE},
        {"length": "length"},
        lambda v: {"length": pushrod.checking_length(v["base_length"], v["turns"], v["thread_pitch"])},
        "geometry",
        ("Caliper the locked length: it has to agree with the count.",),
    ),
    "ball-end": Calculator(
        {
            "ball_diameter": SIZE,
            "flat_diameter": LENGTH_FROM_NONE,
            "gauge_circle_diameter": SIZE,
            "caliper_length": SIZE,
        },
        {
            "crown_per_end": "length",
            "theoretical_length": "length",
            "centre_to_centre_length": "length",
            "gauge_loss_per_end": "length",
            "gauge_length": "length",
        },
        _ball_end,
        "geometry",
        (BASIS,),
    ),
    "order-length": Calculator(
        {
            "zero_lash_length": SIZE,
            "preload_depth": NONE_OR_MORE,
            "length_step": Input("length", False, pushrod.LENGTH_STEP, over=0.0),
        },
        {"computed_length": "length", "order_length": "length", "preload_at_same_pivot": "length"},
        _order,
        "practice",
        (BASIS, "With a fixed pivot a preload below 0 is lash instead of preload: take the next longer step."),
    ),
    "length-budget": Calculator(
        {
            "deck_cut": Input("length", False, 0.0),
            "head_mill": Input("length", False, 0.0),
            "gasket_thinner": Input("length", False, 0.0),
            "bore_to_pushrod_angle": ANGLE,
            "base_circle_radius_smaller": Input("length", False, 0.0),
            "tip_higher": Input("length", False, 0.0),
        },
        {"length_change": "length"},
        _budget,
        "geometry",
        ("For a stud mount. With a fixed pivot a higher tip shortens the pushrod, by the rise over the ratio.",),
    ),
    "pushrod-shortening": Calculator(
        {
            "outside_diameter": SIZE,
            "wall_thickness": SIZE,
            "length": SIZE,
            "load": Input("force", least=0.0),
            "elastic_modulus": Input("pressure", False, stretch.STEEL, over=0.0),
        },
        {"tube_area": "area", "shortening": "length"},
        _shortening,
        "physics",
        ("What the pushrod gives way times the rocker ratio is lost valve lift.",),
    ),
    "checking-lifter": Calculator(
        {"measured_length": SIZE, "checker_cup_height": LENGTH, "real_cup_height": LENGTH},
        {"length": "length"},
        lambda v: {
            "length": pushrod.for_real_lifter(v["measured_length"], v["checker_cup_height"], v["real_cup_height"])
        },
        "geometry",
        (BASIS, "The cup of a hydraulic lifter is measured with its plunger up against its stop."),
    ),
    "stand-change": Calculator(
        {"stand_change": LENGTH, "rocker_ratio": RATIO},
        {"pushrod_change": "length"},
        lambda v: {"pushrod_change": pushrod.change_for_raise(v["stand_change"], v["rocker_ratio"])},
        "geometry",
    ),
    "stamped-contact": Calculator(
        with_more(STAMPED, {"lifts": ListInput("length")}),
        {"contacts": "length"},
        _stamped_contacts,
        "geometry",
        (PLANE,),
    ),
    "stamped-mark": Calculator(
        with_more(STAMPED, {"valve_lift": SIZE, "rocker_ratio": RATIO, "usable_flat_diameter": MAYBE_SIZE}),
        {
            "centred_pivot_height": "length",
            "raise_pivot": "length",
            "pushrod_change": "length",
            "mark_width": "length",
            "contact_closed": "length",
            "contact_open": "length",
            "edge_margin": "length",
        },
        _stamped_mark,
        "geometry",
        ("For an upright stud. A stamped pad slides: a mark wider than a roller's is natural.", NO_CURE),
    ),
    "stamped-mark-step": Calculator(
        {"mean_before": LENGTH, "mean_after": LENGTH, "length_change": LENGTH},
        {"next_change": "length"},
        lambda v: {"next_change": stamped_tip.next_change(v["mean_before"], v["mean_after"], v["length_change"])},
        "geometry",
        ("A longer pushrod that moves the mark inboard: the stud leans, or an edge was misread.",),
    ),
}
