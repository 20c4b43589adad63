"""What a check says of a sound vehicle never contradicts what sound vehicles show beside it.

A learner reads the text next to the band that the physics gives here and now. So the text holds no figure in a unit
that the check reads, and where sound vehicles read differently cold and warm it says on what that depends.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from grading.report import sound_band
from grading.report.sound_band import FIGURES, Band, SoundVehicles
from scenarios.actions import Action, NotPossible
from scenarios.files.loader import load_catalogue
from scenarios.language import _, speak_of
from scenarios.model import SEAT, Catalogue, Check
from scenarios.vehicle_words import own_words
from sim.observation.instruments import INSTRUMENTS

FEW = 12
"""Sound vehicles that are looked at instead of ``sound_band.VEHICLES``: enough to tell cold from warm."""
NUMBER = r"(?:\d|\b(?:one|two|three|four|five|six|seven|eight|nine|ten|twelve|twenty|thirty|forty|fifty|sixty)\b)"
NAMED = "12 V"
"""A name, of battery, plug or supply, and no figure."""
ALIKE = {"°C": ("°C", "K"), "ohm": ("ohms?", "kohm"), "kohm": ("ohms?", "kohm", "megohms?"), "%": ("%", "per cent")}
"""Other names and multiples of a unit, as regular expressions."""
DEPENDS = re.compile(
    r"\b(cold|warms?|warmed|hot|cool|frost|weather|winter|freezing|running|runs?|idled?s?|idling|battery|charg\w*|"
    r"at rest|READY|command\w*|outside|current|control|supply)\b",
    re.IGNORECASE,
)
"""Words that say on what a reading depends."""


def _figures(check: Check, text: str) -> list[str]:
    """Figures of a text in units that the check reads."""
    shown = {INSTRUMENTS[spec.instrument].unit for spec in check.readings} - {""}
    units = "|".join(sorted({name for unit in shown for name in ALIKE.get(unit, (re.escape(unit),))}))
    told = text.replace(NAMED, "")
    return re.findall(rf"{NUMBER}[^.:;]{{0,12}}?\s(?:{units})(?![\w-])", told) if shown else []


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.mark.parametrize(
    ("unit_of", "text"),
    [
        ("vent-temperature", "Above 50 °C with a warm engine."),
        ("heater-return-infrared", "A few to about 12 K below the feed."),
        ("relay-drop", "At most 0.2 V under load."),
        ("manifold-vacuum", "57-71 kPa at idle."),
        ("motor-resistance", "Worn: one to two ohm."),
        ("heat-command", "100 % with the control at hot."),
        ("high-voltage-state", "In megohms, above 200 kohm."),
    ],
)
def test_figures_are_found(catalogue: Catalogue, unit_of: str, text: str) -> None:
    assert _figures(catalogue.checks[unit_of], text)


@pytest.mark.parametrize("text", ["A tenth or two under load.", "Its 12 V plug.", "P0128: 11 K below", "some kelvin"])
def test_other_figures_are_not(catalogue: Catalogue, text: str) -> None:
    assert not _figures(catalogue.checks["motor-resistance"], text)


def test_no_text_holds_a_figure_that_the_band_gives(catalogue: Catalogue) -> None:
    wrong = []
    for vehicle in catalogue.vehicles.values():
        speak_of(own_words(vehicle))
        for check in catalogue.checks_of(vehicle):
            if any(Band(spec.label, spec.instrument, ()).scale == FIGURES for spec in check.readings):
                wrong += [(vehicle.id, check.id, found) for found in _figures(check, _(check.normal))]
    speak_of({})
    assert wrong == []


def _sound(catalogue: Catalogue, vehicle: str) -> SoundVehicles:
    job = next(job for job in catalogue.jobs.values() if job.vehicle == vehicle)
    return SoundVehicles(catalogue, replace(job, ambient_C=-5.0, faults=()), 1)


def _bands(sound: SoundVehicles, checks: list[Check]) -> Iterator[tuple[Check, list[Band]]]:
    """The bands of checks, each as if done next, after what it needs."""
    before = sound.workshop
    for check in checks:
        needs = set(check.needs)
        first = [Action("go", (check.place,))] if check.place != "road" else []
        first += [Action("engine", ("start",))] if "engine-running" in needs else []
        first += [Action("engine", ("stop",))] if needs & {"engine-off", "ignition-off"} else []
        first += [Action("ignition", ("on",))] if "ignition-on" in needs else []
        first += [Action("ignition", ("off",))] if "ignition-off" in needs else []
        sound.workshop = before.copy()
        for action in first:
            try:
                sound.workshop.perform(action)
            except NotPossible:  # it is so already
                continue
        looks = sound.workshop.perform(Action("check", (check.id,))).readings
        yield check, [sound_band.band(look) for look in looks]
    sound.workshop = before


def _apart(one: Band, other: Band) -> bool:
    return not any(other.holds(step) for step in range(min(one.steps), max(one.steps) + 1))


def test_a_text_says_on_what_a_reading_depends(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sound_band, "VEHICLES", FEW)
    wrong, differ = [], 0
    for vehicle in catalogue.vehicles.values():
        speak_of(own_words(vehicle))
        checks = [check for check in catalogue.checks_of(vehicle) if check.readings]
        cold, warm = _sound(catalogue, vehicle.id), _sound(catalogue, vehicle.id)
        for action in (
            Action("go", (SEAT,)),
            Action("engine", ("start",)),
            Action("set", ("heater", 100.0)),
            Action("set", ("blower", 1.0)),
            Action("idle", (20.0,)),
        ):
            warm.workshop.perform(action)
        for (check, before), (_same, after) in zip(_bands(cold, checks), _bands(warm, checks), strict=True):
            if any(_apart(*pair) for pair in zip(before, after, strict=True)):
                differ += 1
                if not DEPENDS.search(_(check.normal)):
                    wrong.append((vehicle.id, check.id))
    speak_of({})
    assert wrong == []
    assert differ > 20 * len(catalogue.vehicles)
