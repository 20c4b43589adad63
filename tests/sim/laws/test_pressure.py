"""Pressure of the loop as the inverse of its two laws, and at its limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.laws import coolant, pressure

ROUNDING = 1e-9
"""Error allowed in an identity [share of the terms]."""
CAPACITY, GIVE, FLAT, ATMOSPHERE = 7.0, 0.0012, 0.5, 101.325

liquids = st.floats(0.1, 7.4)
gases = st.floats(0.0, 800.0)
vapours = st.floats(0.01, 250.0)
temperatures = st.floats(-40.0, 130.0)


@given(liquids, gases, vapours, temperatures, st.floats(60.0, 105.0))
def test_both_laws_hold(liquid: float, gas: float, vapour: float, temperature: float, atmosphere: float) -> None:
    """Capacity + hoses = liquid + gas volume, and (p + p_atm - p_vap) V = N T/T_room."""
    p, volume, air, _ = pressure.loop_pressure(liquid, CAPACITY, GIVE, FLAT, gas, vapour, temperature, atmosphere)
    assert volume >= 0.0
    assert air >= 0.0
    hoses = pressure.hose_volume(p, GIVE, FLAT)
    assert CAPACITY + hoses == pytest.approx(liquid + volume, rel=ROUNDING)
    amount = gas * (temperature + 273.15) / pressure.ROOM_K
    assert air * volume == pytest.approx(amount, rel=ROUNDING, abs=ROUNDING)
    assert p == pytest.approx(air + vapour - atmosphere, abs=1e-9 * (atmosphere + vapour + air))


def test_all_liquid() -> None:
    """Without gas an overfilled loop only has its hoses to give."""
    p, volume, _, give = pressure.loop_pressure(7.06, CAPACITY, GIVE, FLAT, 0.0, 2.0, 60.0, ATMOSPHERE)
    assert p == pytest.approx(0.06 / GIVE)
    assert give == GIVE
    assert volume == 0.0


def test_air_cushion() -> None:
    """Half a litre of air squeezed to half its volume in rigid hoses: Boyle (textbook, M)."""
    p, volume, _, _ = pressure.loop_pressure(6.75, CAPACITY, 1e-9, FLAT, 0.5 * ATMOSPHERE, 0.0, 20.0, ATMOSPHERE)
    assert volume == pytest.approx(0.25, rel=1e-5)
    assert p == pytest.approx(ATMOSPHERE, rel=1e-5)


def test_steam_alone() -> None:
    """A pocket without air stands at vapour pressure, whatever its size."""
    for liquid in (3.0, 6.0):
        p, volume, air, _ = pressure.loop_pressure(liquid, CAPACITY, GIVE, FLAT, 0.0, 198.5, 120.0, ATMOSPHERE)
        assert p == pytest.approx(198.5 - ATMOSPHERE)
        assert air == 0.0
        assert volume == pytest.approx(CAPACITY - liquid + GIVE * p)


def test_hoses_go_flat_before_a_deep_vacuum() -> None:
    """A third of a litre that shrank away is made up by hoses lying flat, one more by nothing (P)."""
    third, more = (
        pressure.loop_pressure(7.0 - missing, CAPACITY, GIVE, FLAT, 0.0, 2.3, 20.0, ATMOSPHERE)
        for missing in (0.3, 0.9)
    )
    assert -pressure.COLLAPSED_KPA < third[0] < -pressure.COLLAPSE_KPA
    assert third[1] == 0.0
    assert third[3] > GIVE
    assert more[0] == pytest.approx(2.3 - ATMOSPHERE)
    assert pressure.loop_pressure(6.99, CAPACITY, GIVE, FLAT, 0.0, 2.3, 20.0, ATMOSPHERE)[0] == pytest.approx(
        -0.01 / GIVE
    )


@given(liquids, liquids, gases, vapours, temperatures)
def test_pressure_rises_with_all_that_is_in_the_loop(
    a: float, b: float, gas: float, vapour: float, warm: float
) -> None:
    less, more = sorted((a, b))
    first = pressure.loop_pressure(less, CAPACITY, GIVE, FLAT, gas, vapour, warm, ATMOSPHERE)[0]
    assert pressure.loop_pressure(more, CAPACITY, GIVE, FLAT, gas, vapour, warm, ATMOSPHERE)[0] >= first - 1e-9
    assert pressure.loop_pressure(less, CAPACITY, GIVE, FLAT, gas + 1.0, vapour, warm, ATMOSPHERE)[0] >= first - 1e-9
    assert pressure.loop_pressure(less, CAPACITY, GIVE, FLAT, gas, vapour + 1.0, warm, ATMOSPHERE)[0] >= first - 1e-9
    assert pressure.loop_pressure(less, CAPACITY, GIVE, FLAT, gas, vapour, warm + 1.0, ATMOSPHERE)[0] >= first - 1e-9


@given(st.floats(-50.0, 200.0), st.floats(0.0, 150.0))
def test_a_valve_passes_nothing_until_it_opens(p: float, opens: float) -> None:
    flow = pressure.relief(p, opens, 0.01)
    assert flow == pytest.approx(0.01 * max(p - opens, 0.0))


def test_steam_of_one_atmosphere() -> None:
    """Steam of 100 degC weighs 0.598 kg/m3 (steam tables, M); as an ideal gas 1.5 % less."""
    given_mass = pressure.steam_mass(coolant.saturation_pressure(100.0, 0.0), 1000.0, 100.0)
    assert given_mass == pytest.approx(0.598, rel=0.02)
