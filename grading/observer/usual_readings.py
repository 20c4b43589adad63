"""What counts as a usual reading: nine in ten sound vehicles show it, with the noise of the instrument."""

from __future__ import annotations

from statistics import NormalDist

OUTSIDE = 0.05
"""Share of sound vehicles in each tail outside the usual readings; for words without an order, the share below which a
word is left out."""
DEVIATES = [NormalDist().inv_cdf((k + 0.5) / 9.0) for k in range(9)]
"""Noise of an instrument [its spread]: nine equally likely deviates."""
