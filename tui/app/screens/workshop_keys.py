"""The keys of the workshop, and those that are written on the screen to be seen and clicked."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from scenarios.language import N_
from scenarios.model import PLACES

HEADINGS = (
    ("n", N_("notebook"), "side('notebook')"),
    ("s", N_("suspects"), "side('suspects')"),
    ("k", N_("card"), "side('card')"),
)
NOTE_KEYS = (
    ("o", N_("order"), "notes('order')"),
    ("m", N_("mark"), "notes('mark')"),
    ("c", N_("compare"), "notes('hold')"),
)
SUSPECT_KEYS = (
    ("←", N_("less"), "suspect(-1)"),
    ("→", N_("likelier"), "suspect(1)"),
    ("Enter", N_("declare"), "declare"),
)
HINT = ("g", N_("hint"), "hint")
TIMES = (
    ("r", N_("rev"), "ask('rev')"),
    ("l", N_("idle"), "ask('idle')"),
    ("d", N_("drive"), "ask('drive')"),
    ("w", N_("wait"), "ask('wait')"),
)

_LOOK_AT = (
    N_("Look at: driver's seat"),
    N_("Look at: engine bay"),
    N_("Look at: under the dash"),
    N_("Look at: on the road"),
    N_("Look at: bench and repairs"),
)
assert len(_LOOK_AT) == len(PLACES)

KEYS: list[BindingType] = [
    Binding("tab", "column(1)", "Next", key_display="Tab"),
    Binding("shift+tab", "column(-1)", "Column before", show=False),
    *(Binding(str(index + 1), f"look_at({index})", name, show=False) for index, name in enumerate(_LOOK_AT)),
    Binding("h", "side('here')", "What can be done here", show=False),
    Binding("n", "side('notebook')", "Notebook", show=False),
    Binding("s", "side('suspects')", "Suspects", show=False),
    Binding("k", "side('card')", "Job card", show=False),
    Binding("i", "ignition", "Ignition", show=False),
    Binding("e", "engine", "Engine start or stop", show=False),
    Binding("plus,equals_sign", "heater(10)", "Heater warmer", show=False, key_display="+"),
    Binding("minus", "heater(-10)", "Heater colder", show=False, key_display="-"),
    Binding("b", "blower(1)", "Blower up", show=False),
    Binding("B", "blower(-1)", "Blower down", show=False),
    Binding("v", "vents", "Vents: floor, face, screen", show=False),
    Binding("a", "air", "Fresh or recirculated air", show=False),
    Binding("r", "ask('rev')", "Rev: hold the engine at a speed", show=False),
    Binding("l", "ask('idle')", "Let it idle", show=False),
    Binding("d", "ask('drive')", "Drive"),
    Binding("w", "ask('wait')", "Wait", show=False),
    Binding("comma,less_than_sign", "predict('lower than sound')", "Expect it lower than sound", show=False),
    Binding("p", "predict('as sound')", "Expect it as sound", show=False),
    Binding("full_stop,greater_than_sign", "predict('higher than sound')", "Expect it higher than sound", show=False),
    Binding("t", "write_up", "Write up: complaint, cause, correction", show=False),
    Binding("g", "hint", "Hint: it costs marks", show=False),
    Binding("z", "undo", "Undo a mark", show=False),
    Binding("x", "hand_back", "Hand back"),
    Binding("escape", "leave", "Back to the board, the job is kept", show=False),
]
