"""A warning when one life lies so far out that it carries the whole fit."""

import numpy as np

from analytics.life.data import LifeData
from analytics.life.weibull.likelihood import life_sums
from analytics.life.weibull.solver import Status, solve

# A longest life this many times the second is worth a second fit.
SUSPECT_RATIO = 3.0
EXPECTED_BEYOND = 1e-3


def outlier_warnings(data: LifeData) -> tuple[str, ...]:
    """Return a warning if the longest life does not belong with the others.

    Notes
    -----
    The others are fitted without it; it is named when fewer than one life in
    a thousand such samples would reach its age.
    """
    if data.n < 2:
        return ()
    longest = int(data.ages.argmax())
    others = np.arange(data.n) != longest
    if data.ages[longest] < SUSPECT_RATIO * data.ages[others].max():
        return ()
    rest = LifeData(
        data.ages[others], data.failed[others], data.entries[others], data.unit
    )
    sums = life_sums([rest])
    solution = solve(sums)
    if solution.status[0] != Status.OK:
        return ()
    log_scale = solution.log_scale[0] + sums.log_reference[0]
    log_hazard = solution.shape[0] * (np.log(data.ages[longest]) - log_scale)
    if data.n * np.exp(-np.exp(min(log_hazard, 20.0))) >= EXPECTED_BEYOND:
        return ()
    return (
        f"One life of {data.ages[longest]:,.6g} {data.unit} lies far beyond all "
        "others and carries the fit: check it.",
    )
