"""The command line."""

from nesting.cli.commands import main

__all__ = ["main"]
