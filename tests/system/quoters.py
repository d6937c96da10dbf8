"""Run as a process of its own: somebody who sends one estimate after the other, at the same moments as somebody else.

`python -m tests.system.quoters prepare COUNT` makes hulls with a draft each; `python -m tests.system.quoters send NAME
AT COUNT` waits for the moment AT (seconds since 1970), sends that name's drafts, and prints what each is called.
"""

from tests.system.script import in_turn, obey


def prepare(count: int) -> None:
    """Make a shop that charges, and hulls with a draft each."""
    from tests.stages.charging import a_draft, a_shop_that_charges, a_surveyed_hull

    a_shop_that_charges()
    for name in ("ada", "ben"):
        for number in range(count):
            a_draft(a_surveyed_hull(f"{name}-{number}"))


def send(name: str, at: float, count: int) -> list[str]:
    """Send each of a name's drafts at its moment."""
    from hulls.models import Estimate
    from stages.services.estimates import send_estimate
    from tests.factories import hand

    drafts = [Estimate.objects.get(hull__tag=f"{name}-{number}") for number in range(count)]
    for draft in in_turn(drafts, at):
        assert send_estimate(hull_id=draft.hull_id, estimate=draft.pk, hand=hand()).done
    return [Estimate.objects.get(pk=draft.pk).label for draft in drafts]


if __name__ == "__main__":
    obey(prepare, send=send)
