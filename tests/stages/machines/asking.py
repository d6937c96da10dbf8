"""What the crew asks of a boat's owner, and what they answer, right or wrong: the state machine's part on money."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule

from hulls.models import Estimate, Hull
from stages.services.answers import Reply, answer_estimate
from stages.services.change_orders import Change, raise_change_order
from stages.services.estimates import withdraw_estimate
from stages.services.orders import Hand, Outcome
from tests.stages.machines.shop import KEYS

backs = st.sampled_from([0, 0, 0, 0, 0.25, 3, 20])  # hours by which a line is written down late


class Asking(RuleBasedStateMachine):
    """Change orders: raised, answered, withdrawn."""

    hull: Hull

    def send(self, send: Callable[[Hand], Outcome], *, hull: int | None = None, **how: Any) -> Outcome | None:
        """Try it; the machine that this is a part of keeps count."""
        raise NotImplementedError

    @rule(touched=st.sets(st.sampled_from(KEYS), min_size=1, max_size=3), back=backs)
    def ask_the_owner(self, touched: set[str], **how: Any) -> None:
        """A change order: work on what it touches waits for the answer."""
        change = Change(words="rot", stages=tuple(sorted(touched)), price=Decimal(10))
        self.send(lambda hand: raise_change_order(hull_id=self.hull.pk, change=change, hand=hand), **how)

    @rule(yes=st.booleans(), behind=st.booleans(), back=backs)
    def answer(self, yes: bool, behind: bool, **how: Any) -> None:
        """The oldest question is answered, or one from before once more."""
        rows = Estimate.objects.filter(hull=self.hull).order_by("answer", "pk")
        row = rows.last() if behind else rows.first()
        if row is not None:
            told = {"label": row.label, "version": row.version, "digest": row.digest, "name": "Ada Reed"}
            reply = Reply(yes=yes, **told)  # type: ignore[arg-type]
            self.send(lambda hand: answer_estimate(hull_id=self.hull.pk, reply=reply, hand=hand), **how)

    @rule(back=backs)
    def withdraw(self, **how: Any) -> None:
        row = Estimate.objects.waiting().filter(hull=self.hull).first()
        if row is not None:
            number = row.pk
            self.send(lambda hand: withdraw_estimate(hull_id=self.hull.pk, estimate=number, hand=hand), **how)
