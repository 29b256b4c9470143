"""Reading a file whole, if it isn't too large, with faults in words."""

from __future__ import annotations

from pathlib import Path

from pieces.errors import Fault, OrderFault


def contents(path: Path, what: str, most_bytes: int, if_larger: tuple[str, str]) -> bytes:
    """What stands in a file; `what` it should be names it in messages.

    `if_larger` is the message and the remedy for a file of more than `most_bytes`.

    Raises
    ------
    OrderFault : it can't be read, or is too large
    """
    where = str(path)
    try:
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except FileNotFoundError:
        fault = Fault(where, "", "There is no such file.", "Look at its name and its folder.")
    except IsADirectoryError:
        fault = Fault(where, "", "This is a folder.", f"Name the {what} file inside it.")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        fault = Fault(where, "", f"The file can't be read: {reason.lower()}.")
    else:
        if len(data) <= most_bytes:
            return data
        fault = Fault(where, "", *if_larger)
    raise OrderFault([fault])
