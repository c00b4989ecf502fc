"""What a command of the command line is, and its exit codes."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass

DONE, FINDING, BAD_INPUT = 0, 1, 2
"""Exit codes: done; a finding (a place over a limit, a leak, a doubt); bad input, said in one line."""


@dataclass(frozen=True, slots=True)
class Command:
    """One command: its name, its line of help, the options it adds to its parser, and what it does.

    ``run`` returns an exit code and raises :class:`core.errors.InputError` for bad input.
    """

    name: str
    help: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]
