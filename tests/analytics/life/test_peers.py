import numpy as np
import pytest
from scipy import stats

from analytics.life import peers
from analytics.life.errors import InvalidSample
from analytics.life.peers import leave_one_out_peers
from analytics.life.pooling import gamma_poisson_pool

GENERATOR = np.random.default_rng(17)
TIMES = GENERATOR.uniform(0.5, 2.0, 60)
COUNTS = GENERATOR.poisson(GENERATOR.gamma(1.5, 1.0, 60) * TIMES)


def test_each_unit_is_judged_by_the_others_alone():
    compared = leave_one_out_peers(COUNTS, TIMES)
    for own in (0, 7, 31):
        others = gamma_poisson_pool(np.delete(COUNTS, own), np.delete(TIMES, own))
        assert compared.peer_mean[own] == pytest.approx(others.pool_mean, rel=1e-8)
        assert compared.alpha[own] == pytest.approx(others.alpha, rel=1e-7)
        rate = stats.gamma(
            others.alpha + COUNTS[own], scale=1 / (others.beta + TIMES[own])
        )
        assert compared.posterior_mean[own] == pytest.approx(rate.mean())
        assert compared.prob_exceeds(2.0)[own] == pytest.approx(
            rate.sf(2.0 * others.pool_mean)
        )
        chance = others.beta / (others.beta + TIMES[own])
        assert compared.p_value[own] == pytest.approx(
            stats.nbinom.sf(COUNTS[own] - 1, others.alpha, chance)
        )


def test_homogeneous_peers_give_a_poisson_tail():
    compared = leave_one_out_peers([1, 1, 1, 1, 8], [1.0] * 5)
    assert np.isinf(compared.alpha[4])
    assert compared.p_value[4] == pytest.approx(stats.poisson.sf(7, 1.0))
    assert compared.posterior_mean[4] == 1.0
    assert compared.prob_exceeds(2.0)[4] == 0.0


def test_an_extreme_unit_does_not_hide_itself():
    counts = [1, 0, 1, 2, 1, 0, 1, 1, 0, 2, 1, 9]
    times = [1.0] * 12
    assert leave_one_out_peers(counts, times).p_value[-1] < 1e-4
    inside = gamma_poisson_pool(counts, times)
    chance = inside.beta / (inside.beta + 1.0)
    assert stats.nbinom.sf(8, inside.alpha, chance) > 1e-3


def test_large_fleets_take_one_step_to_nearly_the_same(monkeypatch):
    generator = np.random.default_rng(2)
    counts = generator.poisson(generator.gamma(2.0, 0.5, 600))
    times = generator.uniform(0.5, 1.0, 600)
    quick = leave_one_out_peers(counts, times)
    monkeypatch.setattr(peers, "EXACT_KINDS", 1000)
    exact = leave_one_out_peers(counts, times)
    assert quick.alpha == pytest.approx(exact.alpha, rel=0.01)
    assert quick.p_value == pytest.approx(exact.p_value, rel=0.02)


def test_peers_without_any_event_count_half_a_one():
    compared = leave_one_out_peers([0, 0, 0, 3], [2.0] * 4)
    assert compared.peer_mean[3] == pytest.approx(0.5 / 6.0)
    assert 0.0 < compared.p_value[3] < 0.01
    assert compared.p_value[0] == 1.0


def test_refusals():
    with pytest.raises(InvalidSample, match="at least two units"):
        leave_one_out_peers([1], [1.0])
    with pytest.raises(InvalidSample, match="multiple must be zero or more"):
        leave_one_out_peers([1, 2], [1.0, 1.0]).prob_exceeds(-2.0)
