"""Measurements, which are no tests: `python3 tests benchmarks [NAME ...]` prints one line a figure.

    NAME: VALUE UNIT[, ratio R (min–max of n) to ANCHOR], goal G: holds|falls short

VALUE is a median (a high percentile where the name's module says so). A ratio is the median of the ratios of n
pairs, each taken side by side in the same run, so that a slow machine slows both. What ends in "no goal" informs;
`--all` prints it too. `--detail` writes every repetition to standard error.

The phone is Chromium with a phone's window and touch, its main thread slowed down four times. Workers, the
network and the disk are not slowed down: the browser cannot do that.
"""  # noqa: RUF002 (the dash is the line's own)
