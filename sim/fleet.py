"""A fleet: n vehicles as arrays, drawn reproducibly, started cold, copied and advanced together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.compile import compiled
from sim.laws import air, pressure
from sim.laws.actuators import BLEND_CONTACT
from sim.solver.integrator import FAILURE, OK, advance_fleet, evaluate_path
from sim.solver.threads import in_blocks
from sim.vehicle import code_memory
from sim.vehicle import states as st
from sim.vehicle.cold_start import stand_fleet_overnight
from sim.vehicle.parameters import DTYPE
from sim.vehicle.quantities import DTYPE as QUANTITIES

_NO_TIMES = np.zeros(0)


def _rows(array: np.ndarray) -> np.ndarray:
    """Records with named fields as attributes also where nothing is compiled."""
    return array if compiled() else array.view(np.recarray)


def stacked(arrays: Sequence[np.ndarray]) -> np.ndarray:
    """Arrays of one kind, one after another: for records much faster than numpy's own, which compares their fields."""
    out = np.empty((sum(len(array) for array in arrays), *arrays[0].shape[1:]), arrays[0].dtype)
    start = 0
    for array in arrays:
        out[start : start + len(array)] = array
        start += len(array)
    return out


@dataclass
class Fleet:
    """n vehicles.

    parameters, controls, switches, quantities: structured arrays (n,); state: float64 (n, STATES), units in
    ``sim.vehicle.states``; codes: float64 (n, ROWS, COLUMNS), trouble codes as in ``sim.vehicle.code_memory``; counts:
    int64 (n, 2), accepted steps and rates evaluations so far; failures: structured (n,) of
    ``sim.solver.integrator.FAILURE``, which vehicles' equations could not be solved, why and when; slack: how many
    times the usual error its temperatures may have, more than 1 where a fleet is only imagined: then no leak or fan
    wants more care.

    A vehicle that has failed stays as it was after its last good step; its controls still move.
    """

    parameters: np.ndarray
    controls: np.ndarray
    switches: np.ndarray
    quantities: np.ndarray
    state: np.ndarray
    codes: np.ndarray
    counts: np.ndarray
    failures: np.ndarray
    slack: float = 1.0

    def __len__(self) -> int:
        return len(self.state)

    @classmethod
    def cold(
        cls, parameters: np.ndarray, ambient: float, atmosphere: float = pressure.ATMOSPHERE, humidity: float = 0.003
    ) -> Fleet:
        """Vehicles that have stood at ambient [degC] for a night, not yet touched.

        parameters (n,); atmosphere [kPa]; humidity [kg/kg] outside, no more than that air holds. Missing coolant and
        air in the core are as the parameters say; the rest of the loop is full at no pressure.
        """
        if parameters.dtype != DTYPE:
            raise TypeError("parameters must be a structured array of sim.vehicle.parameters.DTYPE")
        n = len(parameters)
        humidity = min(humidity, air.saturation_humidity_ratio(float(ambient), float(atmosphere)))
        controls = np.zeros(n, st.CONTROLS)
        controls["ambient_C"], controls["atmosphere_kPa"] = ambient, atmosphere
        controls["outside_humidity"], controls["cap"] = humidity, 1.0
        state = np.zeros((n, st.STATES))
        stand_fleet_overnight(state, _rows(parameters), float(ambient), float(atmosphere), float(humidity))
        fleet = cls(
            parameters.copy(),
            controls,
            np.zeros(n, st.SWITCHES),
            np.zeros(n, QUANTITIES),
            state,
            np.zeros((n, code_memory.ROWS, code_memory.COLUMNS)),
            np.zeros((n, 2), np.int64),
            np.zeros(n, FAILURE),
        )
        fleet.switches["blend"] = parameters["blend_rest"]
        fleet.switches["valve"] = parameters["valve_rest"]
        fleet.refresh()
        return fleet

    def copy(self) -> Fleet:
        """An independent fleet in the same state."""
        return Fleet(*(array.copy() for array in self._arrays()), slack=self.slack)

    def moment(self) -> Fleet:
        """The same, sharing its parts, which time does not change: ``own_parts`` before hands do."""
        return Fleet(self.parameters, *(array.copy() for array in self._arrays()[1:]), slack=self.slack)

    def own_parts(self) -> None:
        """Share parameters with no other fleet from now on."""
        self.parameters = self.parameters.copy()

    def still(self) -> Fleet:
        """The same vehicles to look at with time standing still: they share what only time or hands change, so controls
        or parameters that are to be others must be put in whole.
        """
        return Fleet(
            self.parameters,
            self.controls,
            self.switches.copy(),
            self.quantities.copy(),
            self.state,
            self.codes.copy(),
            self.counts.copy(),
            self.failures.copy(),
            self.slack,
        )

    def select(self, index: np.ndarray) -> Fleet:
        """The vehicles of an index or mask, in its order, as a fleet of their own."""
        return Fleet(*(array[index] for array in self._arrays()), slack=self.slack)

    @classmethod
    def joined(cls, a: Fleet, b: Fleet) -> Fleet:
        """The vehicles of both, a's first, with a's slack."""
        pairs = zip(a._arrays(), b._arrays(), strict=True)
        return cls(*(stacked(pair) for pair in pairs), slack=a.slack)

    def _arrays(self) -> tuple[np.ndarray, ...]:
        return (
            self.parameters,
            self.controls,
            self.switches,
            self.quantities,
            self.state,
            self.codes,
            self.counts,
            self.failures,
        )

    @property
    def failed(self) -> np.ndarray:
        """Which vehicles have failed, bool (n,)."""
        return self.failures["why"] != OK

    def settle(self) -> None:
        """Remember where the drives of the doors stand, and bring the quantities up to the controls.

        A geared motor stays where it last stood, so its place is a memory; cables, springs and vacuum need none.
        """
        self.refresh()
        p, moved = self.parameters, self.quantities["blend"]
        held = np.where(p["contact_of"] == BLEND_CONTACT, self.quantities["contact"], 1.0)
        power = self.controls["ignition"] * p["blend_supply"] * p["blend_motor"] * held
        powered = (power > 0.5) | (p["blend_drive"] < 1.5)
        self.switches["blend"] = moved
        self.switches["valve"] = self.quantities["valve"]
        self.switches["asked"] = np.where(powered, self.quantities["heat_asked"], self.switches["asked"])

    def evaluate(self, states: np.ndarray, vehicle: int = 0, switches: np.ndarray | None = None) -> np.ndarray:
        """Quantities, structured (m,), of one vehicle at states (m, STATES) under its present controls.

        switches: as they stood at each of the states, structured (m,); None: as they stand now.
        """
        out = np.zeros(len(states), QUANTITIES)
        if switches is None:
            switches = np.repeat(self.switches[vehicle : vehicle + 1], len(states))
        evaluate_path(
            states,
            _rows(self.parameters)[vehicle],
            _rows(self.controls)[vehicle],
            _rows(switches),
            _rows(out),
        )
        return out

    def refresh(self) -> None:
        """Bring the quantities up to the state and controls, time standing still."""
        self.advance(0.0, 0.0)

    def advance(self, start: float, end: float, times: np.ndarray = _NO_TIMES) -> np.ndarray:
        """Integrate every vehicle from start to end [s] under its present controls.

        times [s]: rising moments at which dense output is wanted. Returns states there, (n, len(times), STATES).
        """
        return self.advance_seen(start, end, times)[0]

    def advance_seen(self, start: float, end: float, times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """``advance``, returning beside the states the switches as they stood at those times, structured (n, m)."""
        samples = np.zeros((len(self), len(times), st.STATES))
        kept = np.zeros((len(self), len(times)), st.SWITCHES)
        parameters, controls, switches = _rows(self.parameters), _rows(self.controls), _rows(self.switches)
        quantities, failures, rows = _rows(self.quantities), _rows(self.failures), _rows(kept)
        values = self.quantities.view(np.float64).reshape(len(self), len(QUANTITIES.names or ()))
        times = np.ascontiguousarray(times, dtype=np.float64)

        def step(block: slice) -> None:
            advance_fleet(
                self.state[block],
                parameters[block],
                controls[block],
                switches[block],
                quantities[block],
                self.codes[block],
                values[block],
                failures[block],
                float(start),
                float(end),
                times,
                samples[block],
                rows[block],
                self.counts[block],
                float(self.slack),
            )

        if end > start:
            in_blocks(len(self), step)
        else:  # only evaluated: soon done
            step(slice(0, len(self)))
        return samples, kept
