"""What the page says beside a field: what it is, and apart from that what stands if left blank."""

import re

import pytest

from nesting.page.tasks.catalogue import catalogue

DRAFTS = catalogue({}, None)["drafts"]  # type: ignore[arg-type]


@pytest.mark.parametrize("draft", DRAFTS, ids=[draft["name"] for draft in DRAFTS])
def test_what_stands_absent_is_no_list_of_choices(draft):
    """The first semicolon of a docstring parts the two, so all choices stand before it."""
    for option in draft["options"]:
        blank = option["blank"]
        assert not re.match(r"(or|and|which) ", blank), (option["name"], blank)
        # Values for several cases are told with "for"; a list of choices is not.
        listed = [one for one in option.get("choices", ()) if re.search(rf"\b{one}\b", blank)]
        assert len(listed) < 2 or " for " in blank, (option["name"], blank)
