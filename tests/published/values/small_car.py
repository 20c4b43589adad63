"""The hatch against logged cold starts of a small 1.5 l car."""

from collections.abc import Callable

from tests.published import small_car as car
from tests.published.value import PublishedValue

LOGS = "OBD logs described in IEEE document 8891367, figures only"


def _value(
    key: str, what: str, expected: float, unit: str, tolerance: float, compute: Callable[[], float]
) -> PublishedValue:
    return PublishedValue(f"small-car/{key}", what, LOGS, "F", expected, unit, tolerance, compute)


VALUES = [
    # medians; where the logs' spread is known (70 degC) it is the tolerance, else a fifth
    _value("idle-40", "idling from 28 degC: to 40 degC", 45.0, "s", 9.0, lambda: car.time_to(car.idling(), 40.0)),
    _value("idle-60", "idling: to 60 degC", 192.0, "s", 38.0, lambda: car.time_to(car.idling(), 60.0)),
    _value("idle-70", "idling: to 70 degC (264-334)", 316.0, "s", 18.0, lambda: car.time_to(car.idling(), 70.0)),
    _value("idle-80", "idling: to 80 degC", 434.0, "s", 87.0, lambda: car.time_to(car.idling(), 80.0)),
    _value("town-40", "in town from 26 degC: to 40 degC", 46.0, "s", 9.0, lambda: car.time_to(car.in_town(), 40.0)),
    _value("town-60", "in town: to 60 degC", 148.0, "s", 30.0, lambda: car.time_to(car.in_town(), 60.0)),
    _value("town-70", "in town: to 70 degC (169-259)", 215.0, "s", 44.0, lambda: car.time_to(car.in_town(), 70.0)),
    _value("town-80", "in town: to 80 degC", 291.0, "s", 58.0, lambda: car.time_to(car.in_town(), 80.0)),
    _value("rate-idle", "idling: rate to 70 degC by the logs' law, load 27 %", car.logged_rate(874.0, 27.0), "K/min",
           1.0, lambda: car.warming_rate(car.idling())),
    _value("rate-town", "in town: rate to 70 degC, from the median time", 12.3, "K/min", 1.5,
           lambda: car.warming_rate(car.in_town())),
    _value("rate-road-50", "50 km/h: rate to 70 degC over that of the logs' law, its load ours", 1.0, "-", 0.35,
           lambda: car.rate_over_law_on_the_road(50.0)),
    _value("rate-road-80", "80 km/h: the same", 1.0, "-", 0.35, lambda: car.rate_over_law_on_the_road(80.0)),
    _value("plateau-standing", "standing: mean of the ten minutes from 85 degC on (86-92)", 89.0, "degC", 3.0,
           lambda: car.plateau(car.idling())),
    _value("plateau-town", "in town: the same (85-89)", 86.9, "degC", 1.9, lambda: car.plateau(car.in_town())),
    _value("plateau-90", "above 80 km/h, here 90: the same", 86.5, "degC", 1.5,
           lambda: car.plateau(car.on_the_road(90.0))),
    _value("overshoot", "in town: first opening overshoots (0-4)", 2.0, "K", 2.0, lambda: car.overshoot(car.in_town())),
    _value("swing", "in town: the thermostat cycles", 2.0, "K", 1.0, lambda: car.swing(car.in_town())),
    _value("fan-period", "standing hot: from fan to fan (100-145)", 122.0, "s", 23.0, car.fan_period),
    _value("fan-on", "standing hot: hottest (95-96)", 95.5, "degC", 0.5, lambda: car.fan_range()[1]),
    _value("fan-off", "standing hot: coolest (83-89)", 86.0, "degC", 3.0, lambda: car.fan_range()[0]),
    _value("restart", "restart after a stop, here of 15 min: falls within 90 s (1-3)", 2.0, "K", 2.0,
           lambda: car.restart_dip(15.0)),
    _value("soak-2h", "2 h after stopping: share above ambient (one pair, order of magnitude)", 0.46, "-", 0.15,
           lambda: car.soaked(2.0)),
    _value("soak-5h", "5 h after stopping: the same (three)", 0.19, "-", 0.10, lambda: car.soaked(5.0)),
    _value("soak-8h", "8.5 h after stopping: the same (six)", 0.14, "-", 0.12, lambda: car.soaked(8.5)),
]  # fmt: skip
