"""Steps begin with all alive; each candidate has a dash of its own."""

import numpy as np

from analytics.charts.survival_curves import survival_curves

STEPS = tuple(np.array(v) for v in ([5.0, 9.0], [0.5, 0.2], [0.3, 0.1], [0.7, 0.4]))


def test_the_steps_start_at_one():
    figure = survival_curves(STEPS, np.array([1.0]), [], unit_words="running hours")
    observed = next(t for t in figure.data if t.name.startswith("as observed"))
    assert observed.x == (0.0, 5.0, 9.0)
    assert observed.y == (1.0, 0.5, 0.2)
    assert observed.line.shape == "hv"


def test_candidates_differ_by_dash():
    ages = np.array([1.0, 10.0])
    curves = [("Weibull", ages / 10), ("gamma", ages / 20)]
    figure = survival_curves(STEPS, ages, curves, unit_words="running hours")
    drawn = {t.name: t for t in figure.data}
    assert drawn["gamma"].y == (0.05, 0.5)
    assert drawn["Weibull"].line.dash != drawn["gamma"].line.dash
