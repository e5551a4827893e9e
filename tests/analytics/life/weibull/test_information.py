import numpy as np
import pytest
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.weibull import log_likelihood, weibull_fit
from analytics.life.weibull.information import Information, weibull_information
from tests.analytics.life.samples import drawn


def test_information_is_minus_the_second_derivative():
    lives = drawn(14, 40, cut=1300.0, late=0.4)
    fit = weibull_fit(lives)
    step, place = 1e-4, np.log([fit.shape, fit.scale])

    def height(u, v):
        return log_likelihood(lives, *np.exp(place + [u, v]))

    naive = -np.array(
        [
            [
                height(step, 0) - 2 * height(0, 0) + height(-step, 0),
                (
                    height(step, step)
                    - height(step, -step)
                    - height(-step, step)
                    + height(-step, -step)
                )
                / 4,
            ],
            [0, height(0, step) - 2 * height(0, 0) + height(0, -step)],
        ]
    )
    naive[1, 0] = naive[0, 1]
    naive /= step**2
    found = np.linalg.inv(weibull_information(lives, fit.shape, fit.scale).model)
    assert found.ravel() == pytest.approx(naive.ravel(), rel=1e-4)


def test_one_life_for_each_position_needs_no_sandwich():
    lives = LifeData([1, 2, 3, 4], [1] * 4, groups=list("abcd"))
    assert weibull_information(lives, 1.0, 2.0).robust is None


def test_a_copied_sample_counts_once_for_each_position():
    """Each life twice under one label: the sandwich undoes the doubling."""
    lives = drawn(15, 60)
    doubled = LifeData(
        np.tile(lives.ages, 2),
        np.tile(lives.failed, 2),
        groups=list(range(60)) * 2,
    )
    fit = weibull_fit(doubled)
    information = weibull_information(doubled, fit.shape, fit.scale)
    for gradient in np.eye(2):
        assert 1.4 < information.inflation(gradient, 0.90) < 3.0


def test_few_positions_widen_the_limits_by_student_instead_of_normal():
    lives = drawn(31, 90)
    fit = weibull_fit(lives)
    found = [
        weibull_information(
            LifeData(lives.ages, lives.failed, groups=np.arange(90) % positions),
            fit.shape,
            fit.scale,
        )
        for positions in (3, 9, 45)
    ]
    for information, degrees in zip(found, (4, 8, 44), strict=True):
        plain = information.robust[0, 0] / information.model[0, 0]
        student = stats.t.ppf(0.95, degrees) / stats.norm.ppf(0.95)
        assert information.inflation(np.array([1.0, 0.0]), 0.90) == pytest.approx(
            max(1.0, plain * student**2)
        )


@pytest.mark.parametrize(
    ("positions", "said"),
    [
        (1, "All lives come from one position: "),
        (2, "All lives come from two positions: "),
        (3, "The lives come from 3 positions only: "),
        (19, "The lives come from 19 positions only: "),
        (59, "The lives come from 59 positions only: "),
        (60, None),
        (90, None),
    ],
)
def test_few_positions_are_said(positions, said):
    lives = drawn(31, 90)
    labels = [place % positions for place in range(90)]
    fit = weibull_fit(LifeData(lives.ages, lives.failed, groups=labels))
    words = [sentence for sentence in fit.warnings if "positions" in sentence]
    assert len(words) == (said is not None)
    assert all(sentence.startswith(said) for sentence in words)
    clustered = "clustered" in fit.shape_interval.method
    assert clustered is (1 < positions < 90)


def test_draws_spread_at_least_as_the_model_in_every_direction():
    lives = LifeData([10, 20, 30, 45, 50, 70.0], [1] * 6, groups=list("ababab"))
    fit = weibull_fit(lives)
    information = weibull_information(lives, fit.shape, fit.scale)
    extra = information.spread() - information.model
    assert np.linalg.eigvalsh(extra).min() > -1e-12
    alone = Information(information.model, None, 6)
    assert alone.spread() is information.model
