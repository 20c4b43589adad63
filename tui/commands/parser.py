"""Arguments of the command line: a wrong one is answered as every error is, in one line."""

from __future__ import annotations

import argparse
from typing import NoReturn

from scenarios.language import N_, say
from scenarios.wrong_use import WrongUse

_OF_ARGPARSE = (
    N_("usage: "),
    N_("positional arguments"),
    N_("options"),
    N_("show this help message and exit"),
    N_("the following arguments are required: %s"),
    N_("one of the arguments %s is required"),
    N_("unrecognized arguments: %s"),
    N_("invalid choice: %(value)r (choose from %(choices)s)"),
    N_("invalid %(type)s value: %(value)r"),
    N_("not allowed with argument %s"),
    N_("argument %(argument_name)s: %(message)s"),
    N_("expected one argument"),
    N_("ignored explicit argument %r"),
)
"""What argparse says by itself and looks up in the same way."""


class Parser(argparse.ArgumentParser):
    """Arguments of a command; a wrong one is answered as every error is, in one line."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False, **kwargs)

    def error(self, message: str) -> NoReturn:
        """Refuse the arguments."""
        raise WrongUse(say("{problem}, expected what '{command} --help' shows", problem=message, command=self.prog))
