"""Powers of non-negative numbers, as used by heat-transfer and fan laws."""

import math

from sim.compile import jit


@jit
def power(base: float, exponent: float) -> float:
    """base^exponent [-] as exp(exponent ln base), 0 where base [-] is not above 0; exponent [-] above 0.

    Within 1e-14; the library's pow takes a third longer for its last bit. Source: definition.

    >>> round(power(2.0, 0.5), 9)
    1.414213562
    """
    return math.exp(exponent * math.log(base)) if base > 0.0 else 0.0
