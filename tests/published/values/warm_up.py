"""The mid-size car against the warm-up that `fastsim` computes for one."""

from functools import partial

from tests.published.value import PublishedValue
from tests.published.warm_up import steady_time_to, time_to

FASTSIM = "`fastsim` 2.1.5 `SimDriveHot`, its 2012 mid-size sedan; run once, not when this page is made"
SHARE = 0.35
"""Tolerance as a share of the time [-]."""

# ambient degC: to 60 and 80 degC, heater off; to 60 and 80 degC, heater on; s
TIMES = {
    20: (224, 374, 226, 380),
    0: (275, 465, 332, 608),
    -7: (295, 507, 364, 664),
    -18: (362, 573, 415, 743),
}


def _value(key: str, what: str, expected: float, compute: partial[float]) -> PublishedValue:
    return PublishedValue(f"warm-up/{key}", what, FASTSIM, "F", expected, "s", SHARE * expected, compute)


VALUES = [
    _value(
        f"{ambient}-{'on' if heater else 'off'}-{level}",
        f"UDDS from {ambient} degC, heater {'on' if heater else 'off'}: to {level} degC",
        times[2 * heater + (level == 80)],
        partial(time_to, level, ambient, heater),
    )
    for ambient, times in TIMES.items()
    for heater in (False, True)
    for level in (60, 80)
] + [
    _value("steady-60", "50 km/h from 20 degC, heater off: to 60 degC", 230.0, partial(steady_time_to, 60.0)),
    _value("steady-80", "50 km/h from 20 degC, heater off: to 80 degC", 417.0, partial(steady_time_to, 80.0)),
]
