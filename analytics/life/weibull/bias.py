"""How far few failures push the fitted shape up, and doubts that follow."""

from analytics.life.data import LifeData

# Failures from which simulated coverage of 90 % limits is at least 87 %: see the
# calibration tables. Samples of which few lives were cut lie between the kinds.
PLAIN_FROM, WALD_FROM, FAILURE_ENDED_FROM, LIGHTLY_CUT_FROM = 10, 30, 18, 12
LIGHTLY_CUT = 0.25
POSITIONS_FROM = 60


def outlasted(data: LifeData) -> bool:
    """Tell whether a suspension outlasted every failure."""
    if data.suspensions == 0 or data.failures == 0:
        return data.suspensions > 0
    return bool(data.ages[~data.failed].max() > data.ages[data.failed].max())


def shape_bias(failures: int, lives: int, cut_by_time: bool) -> float:
    """Return the mean of the fitted shape over the true one.

    Parameters
    ----------
    failures : int
        Three or more.
    lives : int
        Failures and suspensions.
    cut_by_time : bool
        Whether suspensions outlasted the failures, as when watching ends at a
        set date; otherwise it ended with a failure.

    Notes
    -----
    About r / (r - 1) when cut by time. When ended by a failure it moves from
    1 + 1.37 / (r - 1.92) for a complete sample to r / (r - 2) for a heavily
    censored one; between them it follows the share failed. The calibration
    tables show what is left.

    References
    ----------
    .. [1] Ross, R., IEEE Transactions on Dielectrics and Electrical
       Insulation 3 (1996) 28-42 (complete samples); from memory.
    """
    if cut_by_time:
        return failures / (failures - 1.0)
    share = failures / lives
    complete = 1.0 + 1.37 / (failures - 1.92)
    return share * complete + (1.0 - share) * failures / (failures - 2.0)


def unbiased_shape(data: LifeData, shape: float) -> float:
    """Return the fitted shape corrected for its bias."""
    return shape / shape_bias(data.failures, data.n, outlasted(data))


def narrow_limits_warnings(data: LifeData, method: str) -> tuple[str, ...]:
    """Return a warning where simulated coverage of 90 % limits is below 87 %."""
    needed = WALD_FROM if method == "wald_log" else PLAIN_FROM
    if method == "calibrated" and data.failures < PLAIN_FROM:
        return ()
    if data.suspensions <= LIGHTLY_CUT * data.n:
        needed = max(needed, LIGHTLY_CUT_FROM)
    if not outlasted(data):
        needed = max(needed, FAILURE_ENDED_FROM)
    if data.failures >= needed:
        return ()
    return (
        f"With {data.failures} failures these limits are a little too narrow: "
        "they cover less often than stated.",
    )


def few_positions_warnings(data: LifeData) -> tuple[str, ...]:
    """Return a warning where lives repeat but come from few positions."""
    if data.groups is None or data.clusters == data.n:
        return ()
    if data.clusters <= 2:
        number = "one position" if data.clusters == 1 else "two positions"
        return (
            f"All lives come from {number}: the limits cannot show how much "
            "positions differ.",
        )
    if data.clusters >= POSITIONS_FROM:
        return ()
    return (
        f"The lives come from {data.clusters} positions only: if lives of one "
        "position are alike, these limits cover less often than stated.",
    )
