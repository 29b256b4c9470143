"""`python -m nesting.cli`, where the command `metrage` is not on the path."""

from nesting.cli.commands import main

main()
