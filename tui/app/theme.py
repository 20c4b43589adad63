"""Colours of the program: a cold garage by lamplight, and the same place by day."""

from __future__ import annotations

from textual.theme import Theme

LAMPLIGHT = Theme(
    name="lamplight",
    primary="#e5b567",
    secondary="#8ab8ca",
    accent="#e68d66",
    success="#93bd7c",
    warning="#dfa04a",
    error="#e0685e",
    foreground="#dcdfd8",
    background="#15191b",
    surface="#1b2022",
    panel="#252c2e",
    dark=True,
    variables={
        "block-cursor-background": "#463b20",
        "block-cursor-foreground": "#f6efdf",
        "block-cursor-blurred-background": "#2b3231",
        "block-cursor-blurred-foreground": "#dcdfd8",
        "footer-key-foreground": "#e5b567",
    },
)
DAYLIGHT = Theme(
    name="daylight",
    primary="#7a4e08",
    secondary="#1d5870",
    accent="#a23c16",
    success="#33691e",
    warning="#7f4d00",
    error="#a61f1f",
    foreground="#22282a",
    background="#f3f0e8",
    surface="#ebe7db",
    panel="#dfd9c9",
    dark=False,
    variables={
        "block-cursor-background": "#e6cf97",
        "block-cursor-foreground": "#1a1f20",
        "block-cursor-blurred-background": "#dfd9c9",
        "block-cursor-blurred-foreground": "#22282a",
        "footer-key-foreground": "#7a4e08",
    },
)
OWN = (LAMPLIGHT, DAYLIGHT)
NO_COLOUR = "ansi-dark"
OFFERED = (LAMPLIGHT.name, DAYLIGHT.name, "ansi-dark", "ansi-light")
"""Themes a person can choose: the two of our own, and the terminal's own sixteen colours on dark and on light."""
