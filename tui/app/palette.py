"""The command palette: whatever a key does here, and any phrase of the text interface, typed out."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import partial

from textual.app import App
from textual.command import CommandList, CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.content import Content
from textual.screen import Screen
from textual.widgets.option_list import Option

from scenarios.actions import Action, NotPossible
from scenarios.language import _, say
from tui.presentation.clean import clean
from tui.text.phrases import ANSWERED, PHRASES, parse


class Palette(CommandPalette):
    """The palette, which takes a page key before its list is drawn for what it is: too early."""

    def _action_command_list(self, action: str) -> None:
        with suppress(KeyError):
            super()._action_command_list(action)

    def _start_no_matches_countdown(self, search_value: str) -> None:
        """As the base class does it, but in the language chosen."""
        self._stop_no_matches_countdown()

        def say_so() -> None:
            self._list_visible = bool(search_value)
            if search_value:
                found_none = Option(" " + _("Nothing by that name"), disabled=True, id=self._NO_MATCHES)
                self.query_one(CommandList).add_option(found_none)

        self._no_matches_timer = self.set_timer(self._NO_MATCHES_COUNTDOWN, say_so)


class Everything(Provider):
    """Keys of the screen, phrases where the screen can perform them, and the program's own commands."""

    def _keys(self) -> list[tuple[str, str]]:
        from tui.app.screens.help import keys_of

        return [(description, keys) for keys, description in keys_of(self.screen)]

    def _press(self, keys: str) -> None:
        for active in self.screen.active_bindings.values():
            if active.binding.description and self.app.get_key_display(active.binding) == keys.split()[0]:
                self.app.call_later(self._run, self.app, self.screen, active.binding.action, active.node)
                return

    @staticmethod
    async def _run(app: App, screen: Screen, action: str, node: object) -> None:
        await app.run_action(action, node)  # pyright: ignore[reportArgumentType]

    async def discover(self) -> Hits:
        """All of them."""
        for description, keys in self._keys():
            yield DiscoveryHit(description, partial(self._press, keys), help=say("key {keys}", keys=keys))
        for command in self.app.get_system_commands(self.screen):
            yield DiscoveryHit(command.title, command.callback, help=command.help)

    async def search(self, query: str) -> Hits:
        """Those that match, and a phrase typed out in full first of all."""
        perform = getattr(self.screen, "perform", None)
        if perform is not None and (action := _phrase(query)) is not None:
            yield Hit(2.0, Content(clean(query)), partial(perform, action), help=_(PHRASES[query.split()[0]].does))
        matcher = self.matcher(query)
        for name, command, told in [*self._keys_as_commands(), *self._things()]:
            if (score := matcher.match(name)) > 0.0:
                yield Hit(score, matcher.highlight(name), command, help=told)
        for command in self.app.get_system_commands(self.screen):
            if (score := matcher.match(command.title)) > 0.0:
                yield Hit(score, matcher.highlight(command.title), command.callback, help=command.help)

    def _keys_as_commands(self) -> list[tuple[str, Callable[[], object], str]]:
        return [(name, partial(self._press, keys), say("key {keys}", keys=keys)) for name, keys in self._keys()]

    def _things(self) -> list[tuple[str, Callable[[], object], str]]:
        """Checks and repairs by name, where the screen is a job's; in an exam they are to be thought of, not found."""
        perform, session = getattr(self.screen, "perform", None), getattr(self.screen, "session", None)
        if perform is None or session is None or session.mode.exam:
            return []
        catalogue, vehicle = session.catalogue, session.vehicle
        checks = [
            (
                clean(_(check.name)),
                partial(perform, Action("check", (check.id,))),
                say("check, {place}", place=_(check.place)),
            )
            for check in catalogue.checks_of(vehicle)
        ]
        repairs = [
            (clean(_(repair.name)), partial(perform, Action("repair", (repair.id,))), _("repair"))
            for repair in catalogue.repairs_of(vehicle)
        ]
        return checks + repairs


def _phrase(query: str) -> Action | None:
    if not query.strip() or query.split()[0] in ANSWERED:
        return None
    try:
        return parse(query)
    except NotPossible:
        return None
