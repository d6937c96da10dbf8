"""Run as a process of its own: two people send an estimate each at once, COUNT times."""

from tests.system.script import Together, play


def prepare(count: int) -> None:
    """Make a shop that charges, and hulls with a draft each."""
    from tests.stages.charging import a_draft, a_shop_that_charges, a_surveyed_hull

    a_shop_that_charges()
    for name in ("ada", "ben"):
        for number in range(count):
            a_draft(a_surveyed_hull(f"{name}-{number}"))


def send(name: str, count: int, together: Together) -> list[str]:
    """Send each of a name's drafts at its moment."""
    from hulls.models import Estimate
    from stages.services.estimates import send_estimate
    from tests.factories import hand

    drafts = [Estimate.objects.get(hull__tag=f"{name}-{number}") for number in range(count)]
    for draft in together.in_turn(drafts):
        assert send_estimate(hull_id=draft.hull_id, estimate=draft.pk, hand=hand()).done
    return [Estimate.objects.get(pk=draft.pk).label for draft in drafts]


def left() -> int:
    """How many estimates are no longer drafts."""
    from hulls.models import Estimate

    return Estimate.objects.exclude(number=None).count()


if __name__ == "__main__":
    play(prepare=prepare, act=send, left=left)
