"""What waits for a boat's owner, each as one button that leads to where it is done."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from hulls.charging import money
from hulls.models import ColourAsk, Estimate, EstimateKind
from stages.queries.bills import ToPay


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDo:
    """One thing to do, and where on the page it is done."""

    href: str
    words: str


def to_do(
    asks: Iterable[Estimate], colour: ColourAsk | None, pays: ToPay | None, *, question: bool, collect: bool
) -> Iterator[ToDo]:
    """What waits, the most pressing first.

    Parameters
    ----------
    asks : iterable of Estimate
        Papers without an answer.
    colour : ColourAsk or None
        The question of the colour, answered or not.
    pays : ToPay or None
        What is to be paid.
    question : bool
        Whether the shop asked something in the thread.
    collect : bool
        Whether the boat is ready and no day was proposed for fetching it.
    """
    for ask in asks:
        change = ask.kind == EstimateKind.CHANGE_ORDER
        words = _("Answer our change order: %(total)s") if change else _("Answer our estimate: %(total)s")
        yield ToDo(href=f"#ask-{ask.label}", words=words % {"total": money(ask.total, ask.currency)})
    if colour is not None and colour.waits:
        yield ToDo(href="#colour", words=_("Choose the colour"))
    if question:
        yield ToDo(href="#thread", words=_("Answer our question"))
    if pays is not None and pays.now > 0:
        yield ToDo(href="#pay", words=_("Pay %(amount)s") % {"amount": money(pays.now, pays.currency)})
    if collect:
        yield ToDo(href="#collect", words=_("Say when you come for your boat"))
