"""Reading of an infrared thermometer whose emissivity setting differs from the surface's emissivity."""

from sim.compile import jit

EMISSIVITY: dict[str, float] = {
    "rubber": 0.94,
    "plastic": 0.94,
    "paint": 0.94,
    "cast iron": 0.64,
    "aluminium": 0.06,
}
"""Emissivity [-] in the thermal infrared, +-0.02, but cast iron +-0.1 and bare aluminium 0.02 to 0.09. Source:
instrument makers' tables, read in secondary copies; hard rubber, oxidised iron, polished aluminium."""

USUAL_SETTING = 0.95
"""Fixed emissivity setting [-] of a simple infrared thermometer, exact. Source: common practice."""


@jit
def apparent_temperature(true_temperature: float, emissivity: float, setting: float, background: float) -> float:
    """Temperature [degC] shown for a surface of `true_temperature` [degC] and `emissivity` [-], 0 to 1.

    setting Ta^4 + (1 - setting) Tb^4 = emissivity T^4 + (1 - emissivity) Tb^4, in kelvin: the instrument with `setting`
    [-], 0.1 to 1, assumes reflected radiation of `background` [degC]. Range: -40 to 400 degC. Accuracy: the law is for
    total radiation; an instrument for 8 to 14 um differs by some kelvin on bare metal. Source: radiation balance,
    textbook.

    >>> round(apparent_temperature(90.0, 0.30, 0.95, 20.0))
    47
    """
    surface = (true_temperature + 273.15) ** 4
    mirrored = (background + 273.15) ** 4
    received = emissivity * surface + (1.0 - emissivity) * mirrored
    return (max(received - (1.0 - setting) * mirrored, 0.0) / max(setting, 0.01)) ** 0.25 - 273.15
