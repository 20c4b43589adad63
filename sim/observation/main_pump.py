"""What an electric main coolant pump is read by, before any instrument, and its instruments; functions return (n,)."""

from __future__ import annotations

import numpy as np

from sim.compile import jit
from sim.fleet import Fleet
from sim.laws.electric_pump import ELECTRONICS_A, JAMMED_A, RESETS_BELOW, pump_current, reachable_speed
from sim.observation.categories import Categories, FigureOrNone
from sim.observation.likelihood import Instrument, identity

HUMS, HOWLS, SILENT, TRIES = 0.0, 1.0, 2.0, 3.0
HUMS_FROM, HOWLS_FROM = 0.08, 0.7  # speeds [-] (estimate)
NO_ANSWER = 1000.0  # [%] value for a speed that is not reported
GROUND_WIRE_OHM = 0.004  # a metre of 4 mm2 copper wire (M)
WHOLE, DEBRIS, STUMPS, LOOSE = range(4)
POOR_SHARE = 0.7  # of vanes or grip, below which a look at the impeller shows it (estimate)


def _supplied(fleet: Fleet) -> np.ndarray:
    """Whether fuse, relay and wire conduct, with the ignition on. Shape (n,)."""
    p = fleet.parameters
    whole = np.minimum(np.minimum(p["pump_fuse"], p["pump_relay"]), p["pump_wire"]) > 0.5
    return whole & (fleet.controls["ignition"] > 0.5) & (p["electric_rpm"] > 0.0)


@jit
def _reachable_all(ground: np.ndarray, out: np.ndarray) -> None:
    for i in range(len(ground)):
        out[i] = reachable_speed(ground[i])


def _reachable(ground: np.ndarray) -> np.ndarray:
    """Speed [-] that a pump reaches with a ground [ohm] (n,). Shape (n,)."""
    out = np.empty(len(ground))
    _reachable_all(np.ascontiguousarray(ground), out)
    return out


@jit
def _current_all(speed: np.ndarray, moved: np.ndarray, grip: np.ndarray, out: np.ndarray) -> None:
    for i in range(len(speed)):
        out[i] = pump_current(speed[i], speed[i], moved[i], grip[i])  # the voltage at the plug falls with the speed


def _sound_at(fleet: Fleet, wanted: np.ndarray, ground: np.ndarray) -> np.ndarray:
    """HUMS, HOWLS, SILENT or TRIES at a speed wanted [-] (n,) of a supplied pump with a ground [ohm] (n,)."""
    p, most = fleet.parameters, _reachable(ground)
    able, asked = p["pump_motor"] > 0.5, wanted >= HUMS_FROM
    tries = able & asked & ((p["pump_free"] < 0.5) | ((wanted > most) & (most <= RESETS_BELOW)))
    turns = np.where(np.minimum(wanted, most) >= HOWLS_FROM, HOWLS, HUMS)
    return np.where(tries, TRIES, np.where(able & asked, turns, SILENT))


def sound(fleet: Fleet) -> np.ndarray:
    """Sound of the pump as it is now: index into the words of its ear. Shape (n,)."""
    p = fleet.parameters
    wanted = np.where(p["pump_command"] > 0.5, fleet.algebraic["pump_demand"], 1.0)
    return _sound_at(fleet, np.where(_supplied(fleet), wanted, 0.0), p["pump_ground_ohm"])


def sound_driven(fleet: Fleet) -> np.ndarray:
    """The same, driven to full speed by the scan tool. Shape (n,)."""
    return _sound_at(fleet, np.where(_supplied(fleet), 1.0, 0.0), fleet.parameters["pump_ground_ohm"])


def sound_relay_swapped(fleet: Fleet) -> np.ndarray:
    """The same as ``sound_driven`` with a relay that works, ignition on. Shape (n,)."""
    p = fleet.parameters
    return _sound_at(fleet, np.where(np.minimum(p["pump_fuse"], p["pump_wire"]) > 0.5, 1.0, 0.0), p["pump_ground_ohm"])


def sound_on_lead(fleet: Fleet) -> np.ndarray:
    """Sound with lead and ground of its own and no command: full speed if it is sound. Shape (n,)."""
    return _sound_at(fleet, np.ones(len(fleet)), np.zeros(len(fleet)))


def speed_asked(fleet: Fleet) -> np.ndarray:
    """Speed that the engine computer asks for [%]. Shape (n,)."""
    return 100.0 * fleet.algebraic["pump_demand"]


def speed_reported(fleet: Fleet) -> np.ndarray:
    """Speed that the pump reports [%], NO_ANSWER without supply or command wire. Shape (n,)."""
    q = fleet.algebraic
    return np.where(q["pump_answers"] > 0.5, 100.0 * q["pump_speed"], NO_ANSWER)


def fuse_feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] behind the pump's fuse, which is always live. Shape (n,)."""
    return fleet.algebraic["battery_V"] * fleet.parameters["pump_fuse"]


def feed(fleet: Fleet) -> np.ndarray:
    """Voltage [V] at the pump's plug against battery minus, ignition on. Shape (n,)."""
    return fleet.algebraic["supply_V"] * _supplied(fleet)


def current_driven(fleet: Fleet) -> np.ndarray:
    """Current [A] of the pump, driven to full speed by the scan tool. Shape (n,)."""
    p = fleet.parameters
    turning, moved = np.empty(len(fleet)), p["pump_vanes"] * fleet.algebraic["wetted"]
    _current_all(_reachable(p["pump_ground_ohm"]), moved, np.ascontiguousarray(p["pump_grip"]), turning)
    stands = ELECTRONICS_A + np.where(p["pump_motor"] > 0.5, JAMMED_A, 0.0)
    turns = (p["pump_motor"] > 0.5) & (p["pump_free"] > 0.5)
    return np.where(_supplied(fleet), np.where(turns, turning, stands), 0.0)


def ground_loss(fleet: Fleet) -> np.ndarray:
    """Voltage [V] from the pump's ground pin to battery minus, driven to full speed. Shape (n,).

    Turning, the pump is left the share of the supply that its speed is of full speed.
    """
    p, supply = fleet.parameters, fleet.algebraic["supply_V"]
    ground = p["pump_ground_ohm"]
    turns = (p["pump_motor"] > 0.5) & (p["pump_free"] > 0.5)
    current = current_driven(fleet)
    lost = np.where(turns & _supplied(fleet), supply * (1.0 - _reachable(ground)), np.minimum(current * ground, supply))
    return lost + GROUND_WIRE_OHM * current


def command_missing(fleet: Fleet) -> np.ndarray:
    """0 where the engine computer's command signal arrives at the pump's plug, 1 where it does not. Shape (n,)."""
    return np.where((fleet.parameters["pump_command"] > 0.5) & (fleet.controls["ignition"] > 0.5), 0.0, 1.0)


def inlet(fleet: Fleet) -> np.ndarray:
    """What the borescope shows at the pump's inlet: WHOLE, DEBRIS, STUMPS or LOOSE. Shape (n,)."""
    p = fleet.parameters
    states = [p["pump_free"] < 0.5, p["pump_vanes"] < POOR_SHARE, p["pump_grip"] < POOR_SHARE]
    return np.select(states, [float(DEBRIS), float(STUMPS), float(LOOSE)], float(WHOLE))


MAIN_PUMP_INSTRUMENTS: dict[str, Instrument] = {
    "ear at the main pump": Categories(
        "ear",
        "",
        0.01,
        identity,
        ("hums softly", "howls at full speed", "silent", "starts and stops again and again"),
        confusable=((2,), (), (), (2,)),
    ),
    "scan tool, pump speed": FigureOrNone(
        "scan tool", "%", 1.5, identity, resolution=1.0, low=0.0, high=200.0, over="no answer"
    ),
    "oscilloscope on a data wire": Categories(
        "oscilloscope", "", 0.004, identity, ("a clean signal", "a flat line"), confusable=((), ())
    ),
    "borescope at the pump": Categories(
        "borescope",
        "",
        0.01,
        identity,
        (
            "vanes whole, impeller tight on its shaft",
            "debris between the vanes",
            "vanes worn to stumps",
            "impeller loose on its shaft",
        ),
        confusable=((), (0,), (0,), (0,)),
    ),
}
"""Instruments by name; spreads and words are common practice, no source."""
