"""A fleet: n vehicles as arrays, drawn reproducibly, cold-soaked, copied and advanced together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.compile import compiled
from sim.laws import air, pressure
from sim.laws.actuators import BLEND_CONTACT
from sim.solver.integrator import FAILURE, OK, advance_fleet, evaluate_samples
from sim.solver.threads import in_blocks
from sim.vehicle import code_memory
from sim.vehicle import states as st
from sim.vehicle.algebraic import DTYPE as ALGEBRAIC
from sim.vehicle.cold_soak import cold_soak_fleet
from sim.vehicle.parameters import DTYPE
from sim.vehicle.records import concatenate_records, copy_records, take_records

_NO_TIMES = np.zeros(0)


def _as_records(array: np.ndarray) -> np.ndarray:
    """Structured arrays with their fields as attributes, also where nothing is compiled."""
    return array if compiled() else array.view(np.recarray)


@dataclass
class Fleet:
    """n vehicles.

    parameters, controls, switches, algebraic: structured arrays (n,); state: float64 (n, STATES), units in
    ``sim.vehicle.states``; codes: float64 (n, ROWS, COLUMNS), trouble codes as in ``sim.vehicle.code_memory``; counts:
    int64 (n, 2), accepted steps and rates evaluations so far; failures: structured (n,) of
    ``sim.solver.integrator.FAILURE``. tolerance_factor: multiplies the integrator's tolerances; above 1 (relaxed
    tolerance) the extra accuracy near leaks and the fan's switching range is dropped too.

    A vehicle that has failed keeps the state after its last good step; its controls still move.
    """

    parameters: np.ndarray
    controls: np.ndarray
    switches: np.ndarray
    algebraic: np.ndarray
    state: np.ndarray
    codes: np.ndarray
    counts: np.ndarray
    failures: np.ndarray
    tolerance_factor: float = 1.0

    def __len__(self) -> int:
        return len(self.state)

    @classmethod
    def cold(
        cls, parameters: np.ndarray, ambient: float, atmosphere: float = pressure.ATMOSPHERE, humidity: float = 0.003
    ) -> Fleet:
        """Vehicles after a cold soak at ambient [degC].

        parameters (n,); atmosphere [kPa]; humidity [kg/kg] outside, limited to saturation. Missing coolant and air in
        the core are as the parameters say; the rest of the loop is full at zero gauge pressure.
        """
        if parameters.dtype != DTYPE:
            raise TypeError("parameters must be a structured array of sim.vehicle.parameters.DTYPE")
        n = len(parameters)
        humidity = min(humidity, air.saturation_humidity_ratio(float(ambient), float(atmosphere)))
        controls = np.zeros(n, st.CONTROLS)
        controls["ambient_C"], controls["atmosphere_kPa"] = ambient, atmosphere
        controls["outside_humidity"], controls["cap"] = humidity, 1.0
        state = np.zeros((n, st.STATES))
        cold_soak_fleet(state, _as_records(parameters), float(ambient), float(atmosphere), float(humidity))
        fleet = cls(
            copy_records(parameters),
            controls,
            np.zeros(n, st.SWITCHES),
            np.zeros(n, ALGEBRAIC),
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
        return Fleet(*(copy_records(array) for array in self._arrays()), tolerance_factor=self.tolerance_factor)

    def snapshot(self) -> Fleet:
        """A copy that shares the parameters, which time does not change; call ``unshare_parameters`` before changing
        them.
        """
        return Fleet(
            self.parameters,
            *(copy_records(array) for array in self._arrays()[1:]),
            tolerance_factor=self.tolerance_factor,
        )

    def unshare_parameters(self) -> None:
        """Give this fleet parameters of its own."""
        self.parameters = copy_records(self.parameters)

    def what_if_view(self) -> Fleet:
        """A what-if view: shares parameters, controls and state with the fleet and does not advance time. Replace whole
        arrays of parameters or controls to vary them, then ``refresh``.
        """
        return Fleet(
            self.parameters,
            self.controls,
            copy_records(self.switches),
            copy_records(self.algebraic),
            self.state,
            self.codes.copy(),
            self.counts.copy(),
            copy_records(self.failures),
            self.tolerance_factor,
        )

    def select(self, index: np.ndarray) -> Fleet:
        """The vehicles of an index or mask, in its order, as a fleet of their own."""
        return Fleet(*(take_records(array, index) for array in self._arrays()), tolerance_factor=self.tolerance_factor)

    @classmethod
    def joined(cls, a: Fleet, b: Fleet) -> Fleet:
        """The vehicles of both, a's first, with a's tolerance_factor."""
        pairs = zip(a._arrays(), b._arrays(), strict=True)
        return cls(*(concatenate_records(pair) for pair in pairs), tolerance_factor=a.tolerance_factor)

    def _arrays(self) -> tuple[np.ndarray, ...]:
        return (
            self.parameters,
            self.controls,
            self.switches,
            self.algebraic,
            self.state,
            self.codes,
            self.counts,
            self.failures,
        )

    @property
    def failed(self) -> np.ndarray:
        """Which vehicles have failed, bool (n,)."""
        return self.failures["why"] != OK

    def apply_controls(self) -> None:
        """Take over changed controls: update the algebraic variables and store the positions of the door drives.

        A geared motor stays where it last stood, so its position is a memory; cables, springs and vacuum need none.
        """
        self.refresh()
        p, moved = self.parameters, self.algebraic["blend"]
        held = np.where(p["contact_of"] == BLEND_CONTACT, self.algebraic["contact"], 1.0)
        power = self.controls["ignition"] * p["blend_supply"] * p["blend_motor"] * held
        powered = (power > 0.5) | (p["blend_drive"] < 1.5)
        self.switches["blend"] = moved
        self.switches["valve"] = self.algebraic["valve"]
        self.switches["asked"] = np.where(powered, self.algebraic["heat_asked"], self.switches["asked"])

    def evaluate(self, states: np.ndarray, vehicle: int = 0, switches: np.ndarray | None = None) -> np.ndarray:
        """Algebraic variables, structured (m,), of one vehicle at states (m, STATES) under its present controls.

        switches: at each of the states, structured (m,); None: the present ones.
        """
        out = np.zeros(len(states), ALGEBRAIC)
        if switches is None:
            switches = np.repeat(self.switches[vehicle : vehicle + 1], len(states))
        evaluate_samples(
            states,
            _as_records(self.parameters)[vehicle],
            _as_records(self.controls)[vehicle],
            _as_records(switches),
            _as_records(out),
        )
        return out

    def refresh(self) -> None:
        """Update the algebraic variables to state and controls, without advancing time."""
        self.advance(0.0, 0.0)

    def advance(self, start: float, end: float, times: np.ndarray = _NO_TIMES) -> np.ndarray:
        """Integrate every vehicle from start to end [s] under its present controls.

        times [s]: ascending times of dense output. Returns the states there, (n, len(times), STATES).
        """
        return self.advance_with_switches(start, end, times)[0]

    def advance_with_switches(self, start: float, end: float, times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """``advance``, returning the states and the switches at those times, structured (n, m)."""
        samples = np.zeros((len(self), len(times), st.STATES))
        kept = np.zeros((len(self), len(times)), st.SWITCHES)
        parameters, controls, switches = (
            _as_records(self.parameters),
            _as_records(self.controls),
            _as_records(self.switches),
        )
        algebraic, failures, rows = _as_records(self.algebraic), _as_records(self.failures), _as_records(kept)
        values = self.algebraic.view(np.float64).reshape(len(self), len(ALGEBRAIC.names or ()))
        times = np.ascontiguousarray(times, dtype=np.float64)

        def step(block: slice) -> None:
            advance_fleet(
                self.state[block],
                parameters[block],
                controls[block],
                switches[block],
                algebraic[block],
                self.codes[block],
                values[block],
                failures[block],
                float(start),
                float(end),
                times,
                samples[block],
                rows[block],
                self.counts[block],
                float(self.tolerance_factor),
            )

        if end > start:
            in_blocks(len(self), step)
        else:  # evaluation only: not worth threads
            step(slice(0, len(self)))
        return samples, kept
