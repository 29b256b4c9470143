"""How many examples hypothesis draws: a third in the quick tests, all with the profile `long`."""

from hypothesis import settings


def examples(number: int) -> int:
    """So many of `number` examples as the profile takes of a hundred, two at least."""
    share = settings.default.max_examples if settings.default else 100
    return max(2, number * share // 100)
