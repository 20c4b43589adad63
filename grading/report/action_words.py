"""Actions in words."""

from __future__ import annotations

from grading.sessions.modes import NOT_DRIVEN, OUT_OF_TIME, TEMPORARY
from scenarios.actions import ALSO, Action
from scenarios.language import N_, _, say
from scenarios.model import Catalogue


def describe(catalogue: Catalogue, action: Action) -> str:
    """An action in words."""
    match action.verb:
        case "check" if len(action.arguments) > 1:
            name = _(catalogue.checks[action.text(0)].name)
            return say("{check}, broken off after {minutes:g} min", check=name, minutes=round(action.number(1), 1))
        case "check":
            return _(catalogue.checks[action.text(0)].name)
        case "repair":
            return say("repair: {repair}", repair=_(catalogue.repairs[action.text(0)].name))
        case "diagnose":
            fault = _(catalogue.faults[action.text(0)].name)
            if action.arguments[2:] == (ALSO,):
                return say("diagnosis beside it: {fault}, {sure:g} % sure", fault=fault, sure=action.number(1))
            return say("diagnosis: {fault}, {sure:g} % sure", fault=fault, sure=action.number(1))
        case "suspect":
            fault = _(catalogue.faults[action.text(0)].name)
            return say("suspect {fault}: {mark}", fault=fault, mark=_(action.text(1)))
        case "drive" if len(action.arguments) > 1:
            return say("drive {minutes:g} min, {speed:g} km/h", minutes=action.number(0), speed=action.number(1))
        case "drive":
            return say("drive {minutes:g} min", minutes=action.number(0))
        case "rev":
            return say("rev {speed:g} rpm, {minutes:g} min", speed=action.number(0), minutes=action.number(1))
        case "idle":
            return say("idle {minutes:g} min", minutes=action.number(0))
        case "wait":
            return say("wait {minutes:g} min", minutes=action.number(0))
        case "go":
            return say("walk to: {place}", place=_(action.text(0)))
        case "set":
            value = " ".join(map(_setting, action.arguments[1:]))
            return say("{control}: {value}", control=_(action.text(0)), value=value)
        case "ignition":
            return say("ignition {state}", state=_(action.text(0)))
        case "engine":
            return _("engine start") if action.text(0) == "start" else _("engine stop")
        case "hint":
            return say("hint: {rung}", rung=_(action.text(0)))
        case "handback":
            if action.arguments == (NOT_DRIVEN,):
                return _("keys handed back, the vehicle not to be driven")
            if action.arguments == (TEMPORARY,):
                return _("keys handed back, as a temporary repair")
            return _("the time ran out") if action.arguments == (OUT_OF_TIME,) else _("keys handed back")
        case _:
            return " ".join([action.verb, *map(_setting, action.arguments)])


def turned_on(action: Action, after: Action | None) -> bool:
    """Whether the next action moves the same control again, so that this one is left out."""
    return after is not None and action.verb == after.verb == "set" and action.text(0) == after.text(0)


_CONTROLS = (N_("heater"), N_("blower"), N_("vents"), N_("recirculation"), N_("on"), N_("off"))
"""Controls and their positions, as actions name them."""


def _setting(value: str | float) -> str:
    return f"{value:g}" if isinstance(value, float) else _(str(value))
