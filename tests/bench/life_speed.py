"""Speed of the Weibull fits as ratios; the libraries' loops are scaled from a part.

Looping the libraries over all populations takes minutes, so each fits the first
few, one by one, and its time is multiplied up; the output says how many.
"""

import sys
import time
import warnings
from statistics import median

import numpy as np

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit, weibull_fit_many

SEED = 20260301
POPULATIONS, FAILED, SUSPENDED = 2_000, 25, 100
SIZES = (50_000, 500_000, 5_000_000)
REPEATS = 5
SAME = 1e-4


def populations(count):
    """Lives of shape 0.8 to 3 and scale 10,000 to 40,000 h, cut at the 25th failure."""
    rng = np.random.default_rng(SEED)
    failed = np.arange(FAILED + SUSPENDED) < FAILED
    made = []
    for shape, scale in zip(
        rng.uniform(0.8, 3.0, count), rng.uniform(1e4, 4e4, count), strict=True
    ):
        ages = np.sort(scale * rng.weibull(shape, failed.size))
        made.append((np.minimum(ages, ages[FAILED - 1]), failed))
    return made


def seconds(work, repeats=REPEATS):
    """Median over some runs of this process's time, all its threads added.

    Unlike the clock it does not count the computer's other work.
    """
    took = []
    for _ in range(repeats):
        started = time.process_time()
        work()
        took.append(time.process_time() - started)
    return median(took)


def reliability_one(ages, failed):
    from reliability.Fitters import Fit_Weibull_2P

    fit = Fit_Weibull_2P(
        failures=ages[failed],
        right_censored=ages[~failed],
        show_probability_plot=False,
        print_results=False,
    )
    return fit.beta, fit.alpha


def lifelines_one(ages, failed):
    from lifelines import WeibullFitter

    fit = WeibullFitter().fit(ages, failed)
    return fit.rho_, fit.lambda_


LIBRARIES = (
    ("reliability.Fit_Weibull_2P", reliability_one, 60, 500),
    ("lifelines.WeibullFitter", lifelines_one, 30, 1000),
)


def looped(fit_one, lives, part, ours):
    """Seconds for all the populations, from fitting the first `part` one by one."""
    fit_one(*lives[0])  # imports and warm-up do not count
    theirs = []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        took = seconds(
            lambda: theirs.extend(fit_one(*one) for one in lives[:part]), repeats=1
        )
    ratios = np.array(theirs) / np.stack([ours.shape, ours.scale], axis=1)[:part]
    return took / part * len(lives), abs(ratios - 1).max(axis=1)


def against_libraries():
    lives = populations(POPULATIONS)
    samples = [LifeData(ages, failed) for ages, failed in lives]
    ours = weibull_fit_many(samples)
    point = seconds(lambda: weibull_fit_many(samples))
    checked = seconds(lambda: weibull_fit_many([LifeData(*one) for one in lives]))
    limits = seconds(lambda: weibull_fit_many(samples, intervals="likelihood_ratio"))
    sys.stdout.write(
        f"{POPULATIONS:,} populations of {FAILED} failed and {SUSPENDED} suspended: "
        f"weibull_fit_many {point:.3f} s; with checking the input {checked:.3f} s; "
        f"with likelihood-ratio limits {limits:.3f} s\n"
    )
    for name, fit_one, part, least in LIBRARIES:
        took, differences = looped(fit_one, lives, part, ours)
        sys.stdout.write(
            f"looped {name} {took:.1f} s (measured on {part}, scaled); its shape and "
            f"scale are ours within {SAME} in {(differences < SAME).sum()} of them\n"
        )
        yield f"looped {name} / fit (at least {least})", took / point
        yield f"looped {name} / fit with checking the input", took / checked
    yield "fit with likelihood-ratio limits / fit (at most 10)", limits / point


def one_sample(lives):
    rng = np.random.default_rng(SEED)
    ages = 20_000 * rng.weibull(1.4, lives)
    cut = rng.uniform(1_000, 20_000, lives)
    return LifeData(np.minimum(ages, cut), ages <= cut)


def growth(name, work, samples):
    """Cost of a life in the largest sample over that in the smallest."""
    nanoseconds = []
    for size, sample in zip(SIZES, samples, strict=True):
        took = seconds(lambda sample=sample: work(sample))
        nanoseconds.append(took / size * 1e9)
        sys.stdout.write(f"{name}: {size:,} lives {took:.3f} s\n")
    ratio = nanoseconds[-1] / nanoseconds[0]
    return f"{name}, cost of a life at {SIZES[-1]:,} / at {SIZES[0]:,} lives", ratio


def linearity():
    lives = FAILED + SUSPENDED
    made = [LifeData(*one) for one in populations(SIZES[-1] // lives)]
    groups = [made[: size // lives] for size in SIZES]
    yield growth("populations of 125", weibull_fit_many, groups)
    del made, groups
    samples = [one_sample(size) for size in SIZES]
    yield growth("one population", lambda one: weibull_fit_many([one]), samples)
    yield growth("one population with limits", weibull_fit, samples)


def run():
    return [*against_libraries(), *linearity()]
