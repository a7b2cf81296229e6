"""The odd one out of a family of readings, in any one unit.

Outlier: farther from the median than so many times the median absolute deviation, and than two steps of the gauge
(common practice). Modified z: 0.6745*(x - median)/MAD (published: Iglewicz and Hoaglin, from memory).
"""

from . import plain

Z_SCALE = 0.6745
#: Of the largest figure: what subtraction leaves behind is far smaller. A value on the line is no outlier.
SLACK = 1e-9


def outliers(values, factor, smallest_deviation):
    """Median, median absolute deviation, the values too far out, and the modified z of the value farthest out.

    The modified z is None where the deviation is zero: more than half of the readings are equal.
    """
    middle = plain.median(values)
    distances = [abs(value - middle) for value in values]
    deviation = plain.median(distances)
    allowed = max(factor * deviation, smallest_deviation) + SLACK * max([abs(value) for value in values])
    worst = distances.index(max(distances))
    return {
        "median": middle,
        "median_absolute_deviation": deviation,
        "outliers": [value for value, distance in zip(values, distances) if distance > allowed],
        "modified_z_of_worst": Z_SCALE * (values[worst] - middle) / deviation if deviation > 0 else None,
    }
