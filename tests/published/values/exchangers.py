"""Heat exchangers against a published example, Incropera & DeWitt, Kays & London, and the library `ht`."""

from functools import partial

from ht.hx import effectiveness_from_NTU

from sim.laws import exchangers
from tests.published.value import Letter, PublishedValue

SAME_FORMULA = 0.0005
"""Tolerance of effectiveness where the source uses the same closed form [-]: its rounding."""
CLOSED_FORM = 0.012
"""Tolerance of effectiveness against exact values up to three transfer units [-]."""
CLOSED_FORM_BEYOND = 0.020
"""Tolerance of effectiveness against exact values from three to ten transfer units [-]."""
READ_OFF = 0.02 + CLOSED_FORM
"""Tolerance of effectiveness against one read off a chart to 0.02 [-]."""


def _effectiveness(
    name: str, source: str, letter: Letter, expected: float, tolerance: float, ntu: float, ratio: float
) -> PublishedValue:
    return PublishedValue(
        key=f"heat exchangers/effectiveness, {name}",
        what=f"effectiveness, crossflow both unmixed, NTU {ntu:.3g}, capacity ratio {ratio:.3g}",
        source=source,
        letter=letter,
        expected=expected,
        unit="-",
        tolerance=tolerance,
        compute=partial(exchangers.effectiveness_crossflow, ntu, ratio),
    )


def _kays_london(ntu: float, expected: float) -> PublishedValue:
    tolerance = CLOSED_FORM if ntu <= 3.0 else CLOSED_FORM_BEYOND
    return _effectiveness(f"Kays and London at {ntu:g}", "Kays & London, table", "M", expected, tolerance, ntu, 1.0)


def _exact(ntu: float, ratio: float) -> PublishedValue:
    tolerance = CLOSED_FORM if ntu <= 3.0 else CLOSED_FORM_BEYOND
    expected = effectiveness_from_NTU(NTU=ntu, Cr=ratio, subtype="crossflow") or 0.0
    return _effectiveness(f"exact at {ntu:g} and {ratio:g}", "`ht`, exact", "C", expected, tolerance, ntu, ratio)


INCROPERA = {"ua": 4000.0, "hot": 1.5 * 1000.0, "cold": 1.0 * 4197.0, "difference": 250.0 - 35.0}
"""Incropera & DeWitt, example 11.4: UA and capacity rates [W/K], difference of the inlets [K]."""

VALUES = [
    _effectiveness(
        "engineering library", "example of an engineering-equation library", "F", 0.7632, SAME_FORMULA, 2.5, 0.6
    ),
    _exact(2.5, 0.6),
    _exact(0.7, 0.4),
    _exact(1.8, 0.4),
    _exact(6.0, 0.2),
    _effectiveness(
        "Incropera",
        "Incropera & DeWitt, example 11.4, off a chart",
        "F",
        0.82,
        READ_OFF,
        INCROPERA["ua"] / INCROPERA["hot"],
        INCROPERA["hot"] / INCROPERA["cold"],
    ),
    PublishedValue(
        key="heat exchangers/heat, Incropera",
        what="heat, UA 4000 W/K, hot 1500 W/K at 250 °C, cold 4197 W/K at 35 °C",
        source="Incropera & DeWitt, example 11.4, off a chart",
        letter="F",
        expected=264.0,
        unit="kW",
        tolerance=READ_OFF * INCROPERA["hot"] * INCROPERA["difference"] / 1e3,
        compute=lambda: (
            exchangers.effectiveness_crossflow(INCROPERA["ua"] / INCROPERA["hot"], INCROPERA["hot"] / INCROPERA["cold"])
            * INCROPERA["hot"]
            * INCROPERA["difference"]
            / 1e3
        ),
    ),
    *(_kays_london(n, e) for n, e in ((0.5, 0.326), (1.0, 0.476), (2.0, 0.614), (3.0, 0.681), (5.0, 0.751))),
    PublishedValue(
        key="heat exchangers/log mean",
        what="log-mean difference, 100 to 60 °C against 30 to 40.2 °C, counterflow",
        source="Incropera & DeWitt, example 11.1",
        letter="M",
        expected=43.2,
        unit="K",
        tolerance=0.05,
        compute=partial(exchangers.log_mean_difference, 100.0 - 40.2, 60.0 - 30.0),
    ),
]
