"""Real drives against the model: three that it was fitted to, three that it was not."""

import numpy as np
import pytest

from sim.vehicle.parameters import PARAMETERS
from tests.published import compact
from tests.published.compact import BOUNDS, FIT, FITTED_TO, PREDICTED, both, residuals

TIME_SHARE = 0.20
"""How far a time to 60 or 80 degC may be off, as a share of it [-]."""
PLATEAU_K = 3.0
"""How far the temperature after warming may be off [K]."""


def hold(name: str, values: dict[str, float]) -> None:
    real, model = both(name, values)
    assert model.to_60 == pytest.approx(real.to_60, rel=TIME_SHARE)
    assert model.to_80 == pytest.approx(real.to_80, rel=TIME_SHARE)
    assert model.plateau == pytest.approx(real.plateau, abs=PLATEAU_K)


@pytest.mark.parametrize("name", FITTED_TO)
def test_drives_of_the_fit_are_met(name: str) -> None:
    hold(name, FIT)


@pytest.mark.parametrize("name", PREDICTED)
def test_other_drives_are_predicted(name: str) -> None:
    hold(name, FIT)


def test_no_drive_is_in_both() -> None:
    assert not set(FITTED_TO) & set(PREDICTED)
    files = {file.stem.removeprefix("compact-") for file in compact.DRIVES.glob("compact-*.csv")}
    assert files == {*FITTED_TO, *PREDICTED}


def test_the_unfitted_car_would_not_pass() -> None:
    with pytest.raises(AssertionError):
        hold("summer-3", {name: PARAMETERS[name].default for name in FIT})


@pytest.mark.slow
def test_the_fit_is_the_best_and_is_found_again() -> None:
    from scipy.optimize import least_squares

    low, high = np.array(list(BOUNDS.values())).T
    again = least_squares(
        lambda x: residuals(dict(zip(BOUNDS, map(float, x), strict=True))),
        0.5 * (low + high),
        bounds=(low, high),
        x_scale=high - low,
        diff_step=3e-3,
        max_nfev=30,
    )
    assert (residuals(FIT) ** 2).sum() < 1.02 * 2.0 * again.cost
    found = dict(zip(BOUNDS, map(float, again.x), strict=True))
    for name in PREDICTED:
        hold(name, found)
