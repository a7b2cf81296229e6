"""Which uncertainty belongs to which value (common practice; sums derived from statistics). Lengths in mm."""

from . import instruments, judge, plain, quantity

#: Where no instrument was named: what the best one of the step would be trusted to.
USUAL_STEP = 0.0001 * 25.4
PRINTED_DECIMALS = 5


def form(bench, places):
    """u and its words for a form figure: one gauge, one zero."""
    gauges = []
    for found in bench.all(places):
        gauge = found and found.instrument
        if gauge and not (gauges and gauge is gauges[-1]):
            gauges.append(gauge)
    known = [judge.effective_step(instruments.step_of(gauge), gauge["dial"]) for gauge in gauges]
    return judge.form_uncertainty(max(known) if known else USUAL_STEP), "one gauge, one zero"


def single(bench, place, usual):
    """Full "trust to" figure of one reading; `usual` (mm) where no instrument was named."""
    trust = instruments.trust_of(bench.instrument(place))
    return usual if trust is None else trust


def two_instruments(first, second):
    """u and its words for a clearance from two instruments, at the figure's printed 0.00001 in."""
    u = judge.combined(first, second)
    return quantity.to_canonical("length", _printed(u), "in"), "two instruments"


def _printed(u):
    """The u table is printed to 0.00001 in: 0.00022 for 0.0002 and 0.0001."""
    return plain.round_away(quantity.from_canonical("length", u, "in"), PRINTED_DECIMALS)
