"""The colour of a boat: asked of its owner, chosen once, taken over into the boat's particulars."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from hulls.models import ColourAsk, Hull
from hulls.wording import gettext_noop
from shop.models import CrewMember, Pulse
from stages.engine.errors import EngineError
from stages.engine.vocab import ProductKind, Surface
from stages.engine.work import Work
from stages.models import HullWork
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.messages import tell_of_colour
from stages.services.orders import Guest, Hand
from stages.services.payments import locked
from stages.services.texts import checked_text

HEX = re.compile(r"#[0-9a-f]{6}")
MOST_OFFERS = 12
NAME_LENGTH, WORDS_LENGTH = 40, 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A colour that the shop offers, by its name and as ``#rrggbb``."""

    name: str
    colour: str


def is_painted(work: Work) -> bool:
    """Whether the colour lies on a boat already."""
    return any(work.product(coat).kind is ProductKind.ENAMEL for coat in work.state.stack(Surface.SKIN))


def ask_colour(*, hull_id: int, offers: Sequence[Offer], open_to_words: bool, hand: Hand) -> ColourAsk:
    """Ask a boat's owner for its colour; the same form twice is one question. A letter tells them.

    Raises
    ------
    EngineError
        With nothing to choose from, a colour that is none, or while another question waits.
    """
    checked = [_checked(offer) for offer in offers]
    if not checked and not open_to_words:
        raise EngineError("offers", gettext_noop("Offer at least one colour, or let them describe one."))
    if len(checked) > MOST_OFFERS:
        raise EngineError("offers", gettext_noop("Those are too many to choose from."))
    with transaction.atomic():
        locked(hull_id)
        if before := ColourAsk.objects.filter(client_id=hand.client_id, hull=hull_id).first():
            return before
        if open_ask(hull_id) is not None:
            raise EngineError("offers", gettext_noop("Its owner is asked already. Withdraw that question first."))
        row = ColourAsk.objects.create(
            hull_id=hull_id,
            offers=[[offer.name, offer.colour] for offer in checked],
            open_to_words=open_to_words,
            made_at=hand.at,
            made_by=hand.by,
            client_id=hand.client_id,
        )
        tell_of_colour(row)
        Pulse.bump()
    return row


def choose_colour(*, hull_id: int, ask: int, offer: int | None, words: str, guest: Guest) -> ColourAsk:
    """Keep the owner's choice: once, and the same choice again is the one from before.

    A colour of the offers becomes the boat's at once where it is not painted yet; else the shop takes it over.

    Raises
    ------
    EngineError
        When the question was withdrawn, another colour was chosen before, or nothing that was offered is chosen.
    """
    with transaction.atomic():
        hull = locked(hull_id)
        row = ColourAsk.objects.select_for_update().filter(pk=ask, hull=hull_id).first()
        if row is None or row.withdrawn_at:
            raise EngineError("", gettext_noop("We do not ask for this colour any more. Open the page again."))
        name, colour, described = _choice(row, offer, words)
        if row.chosen_at is not None:
            if (row.name, row.words) != (name, described):
                raise EngineError("", gettext_noop("You had chosen another one, which stands. Write to us below."))
            return row
        row.name, row.colour, row.words, row.chosen_at = name, colour, described, guest.at
        if colour and not is_painted(_work(hull_id)):
            row.taken_at = guest.at
            _paint(hull, name, colour)
        row.save()
        Pulse.bump()
    return row


def take_colour(*, hull_id: int, ask: int, offer: Offer, by: CrewMember, at: datetime) -> ColourAsk:
    """Take what a boat's owner chose over into the boat's particulars; done before, it stays as it was done.

    Raises
    ------
    EngineError
        Without a choice, or for a colour that is none.
    """
    checked = _checked(offer)
    with transaction.atomic():
        hull = locked(hull_id)
        row = ColourAsk.objects.select_for_update().filter(pk=ask, hull=hull_id, withdrawn_at=None).first()
        if row is None or row.chosen_at is None:
            raise EngineError("", gettext_noop("Nothing was chosen yet."))
        if row.taken_at is None:
            row.taken_at, row.taken_by = at, by
            row.save(update_fields=["taken_at", "taken_by"])
            _paint(hull, checked.name, checked.colour)
            Pulse.bump()
    return row


def withdraw_colour(*, hull_id: int, ask: int, at: datetime) -> None:
    """Ask no more, whether there is an answer or not; one that was taken over stays."""
    with transaction.atomic():
        ColourAsk.objects.filter(pk=ask, hull=hull_id, taken_at=None, withdrawn_at=None).update(withdrawn_at=at)
        Pulse.bump()


def open_ask(hull_id: int) -> ColourAsk | None:
    """The question that waits for an answer, or for the shop to take it over."""
    return ColourAsk.objects.filter(hull=hull_id, taken_at=None, withdrawn_at=None).first()


def _checked(offer: Offer) -> Offer:
    name = checked_text(offer.name, "offers", NAME_LENGTH)
    colour = offer.colour.strip().lower()
    if not HEX.fullmatch(colour):
        raise EngineError("offers", gettext_noop("A colour is written as # and six digits, such as #2f5d46."))
    return Offer(name=name, colour=colour)


def _choice(row: ColourAsk, offer: int | None, words: str) -> tuple[str, str, str]:
    if offer is not None and 0 <= offer < len(row.offers):
        name, colour = row.offers[offer]
        return name, colour, ""
    if offer is not None or not row.open_to_words:
        raise EngineError("offer", gettext_noop("Choose one of these colours."))
    return "", "", checked_text(words, "words", WORDS_LENGTH)


def _work(hull_id: int) -> Work:
    row = HullWork.objects.select_related("hull", "route").get(pk=hull_id)
    return in_work([row], around().world)[0].work


def _paint(hull: Hull, name: str, colour: str) -> None:
    Hull.objects.filter(pk=hull.pk).update(colour=colour, colour_name=name)
