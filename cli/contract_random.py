"""The contract of a random stress at a detail: its damage, and the life with it and the recorded loads together."""

from fatigue.accumulation import life_text
from fatigue.assessment import DetailOutcome
from fatigue.random_stress import RandomAndRecorded
from loadhistories.figures import NOT_JUDGED


def random_of(item: DetailOutcome) -> dict:
    """Damage and life with the random stress; nothing where none is stated or it was not judged."""
    if item.random is None:
        return {}
    both = next(part for check in item.checks for part in check.working if isinstance(part, RandomAndRecorded))
    judged = next(check for check in item.checks if both in check.working).state != NOT_JUDGED
    text = life_text(both.design_life or 0.0, both.damage) if judged else NOT_JUDGED
    return {
        "random": {
            "damage": both.random,
            "damage_together": both.damage,
            "life_years_together": both.life if judged else None,
            "life_text_together": text,
        }
    }
