"""Where a curve crosses zero: walk away from a known place step by step, then halve the step in which it happened."""

from .. import plain

#: Halving so often leaves nothing of a step but the last bits of a float.
HALVINGS = 80


def zero_beyond(curve, start, step, steps):
    """The place nearest to `start`, walking by `step`, where `curve` changes its sign; None when it never does.

    A curve that ends on the way (it raises MethodRefused) ends the walk; one that is not there at `start` is refused.
    """
    at_start = curve(start)
    if at_start == 0:
        return start
    try:
        return _walked(curve, start, at_start, step, steps)
    except plain.MethodRefused:
        return None


def _walked(curve, start, at_start, step, steps):
    near, at_near = start, at_start
    for number in range(1, steps + 1):
        far = start + number * step
        at_far = curve(far)
        if at_near * at_far <= 0:
            return _halved(curve, near, at_near, far)
        near, at_near = far, at_far
    return None


def _halved(curve, near, at_near, far):
    for _ in range(HALVINGS):
        middle = (near + far) / 2.0
        if at_near * curve(middle) <= 0:
            far = middle
        else:
            near = middle
    return (near + far) / 2.0
