"""What a walker may spend and aim at."""

from nesting.solver.search.walk import Budget


def test_a_step_is_not_passed_by_a_little() -> None:
    """From 1700, with steps at 1600, 1500 and so on."""
    budget = Budget(1, 1.0, 0.0, enough=1200, aims=(1600, 1500))
    assert budget.target(1700, 50) == 1650
    assert budget.target(1700, 130) == 1600
    assert budget.target(1700, 250) == 1450
    assert budget.target(1700, 600) == 1200
    assert budget.target(1600, 50) == 1550
