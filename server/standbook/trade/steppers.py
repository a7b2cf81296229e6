"""One step more or less than what stands in the box: the pad's two keys beside the digits."""

from . import plain, quantity, slips

#: Where no gauge in hand says how fine it reads: a thousandth, a hundredth of a millimetre, one of anything else.
USUAL = {"in": "0.001", "mm": "0.01"}


def of(typed):
    """{"by", "less", "more"} of something typed (`slips.Typed`): the step in words, and what either key would type."""
    step = typed.gauge_step() or USUAL.get(typed.unit, "1")
    places = max(typed.places, plain.decimals_of(step))
    size = plain.parse_number(step)
    return {
        "by": quantity.with_unit(step, typed.unit),
        "less": _stepped(typed, typed.number - size, places),
        "more": _stepped(typed, typed.number + size, places),
    }


def of_reading(kind, typed, instrument):
    """The same of what is typed at a place; None where nothing is measured."""
    return None if typed["unit"] is None else of(slips.Typed(kind, typed, instrument))


def _stepped(typed, number, places):
    """None where a step would change the sign: what is measured here does not go through nothing by itself."""
    at = plain.round_away(number, places)
    if at * typed.number < 0:
        return None
    return {"text": plain.number_text(at, places), "unit": typed.unit}
