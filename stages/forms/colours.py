"""The colour of a boat: what the shop offers, what its owner chooses, what the shop takes over."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.colour_names import PALETTE
from hulls.models import ColourAsk
from shop.stored import stored
from stages.engine.errors import EngineError
from stages.forms.fields import PlainText
from stages.forms.thread import ThreadForm
from stages.services.colours import NAME_LENGTH, WORDS_LENGTH, Offer

ANOTHER = "another"
SHADE = forms.TextInput(attrs={"type": "color"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatch:
    """A colour to choose: the value that is sent, its name, how it looks, and whether it is chosen."""

    value: str
    name: str
    colour: str
    chosen: bool


class OfferForm(ThreadForm):
    """The colours that the shop offers: some of the palette, one more of its own, or whatever the owner describes."""

    prefix_of_ids = "offer"
    known = forms.MultipleChoiceField(
        label=_("Offer these colours"),
        choices=[(colour, name) for name, colour in PALETTE],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    name = PlainText(label=_("And this one, by its name"), max_length=NAME_LENGTH, required=False)
    colour = forms.CharField(label=_("Its colour"), max_length=7, widget=SHADE, required=False, initial="#2f5d46")
    open_to_words = forms.BooleanField(label=_("They may describe another one"), required=False, initial=True)

    def offers(self) -> list[Offer]:
        """What is offered, as the service takes it."""
        data, names = self.cleaned_data, {colour: name for name, colour in PALETTE}
        own = [Offer(name=data["name"], colour=data["colour"])] if data["name"] else []
        return [*(Offer(name=names[colour], colour=colour) for colour in data["known"]), *own]

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside the colours."""
        self.add_error("known" if error.field == "offers" else None, gettext(error.message))


class TakeForm(ThreadForm):
    """The colour as the boat's particulars take it."""

    prefix_of_ids = "take"
    name = PlainText(label=_("Name of the colour"), max_length=NAME_LENGTH)
    colour = forms.CharField(label=_("Colour"), max_length=7, widget=SHADE)

    def offer(self) -> Offer:
        """As the service takes it."""
        return Offer(name=self.cleaned_data["name"], colour=self.cleaned_data["colour"])

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside the colour."""
        self.add_error("colour" if error.field == "offers" else None, gettext(error.message))


class ChooseForm(ThreadForm):
    """What a boat's owner chooses; the words are about another colour than those that are offered."""

    prefix_of_ids = "colour"
    ask = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31)
    offer = forms.CharField(max_length=8, error_messages={"required": _("Choose one of these colours.")})
    words = PlainText(label=_("How you see it"), max_length=WORDS_LENGTH, required=False)

    def __init__(self, data: Any = None, *, about: ColourAsk | None) -> None:
        super().__init__(data, first={"ask": about.pk} if about else None)
        self.about = about

    def swatches(self) -> Iterator[Swatch]:
        """The colours to choose from."""
        for n, (name, colour) in enumerate(self.about.offers if self.about else ()):
            yield Swatch(value=str(n), name=stored(name), colour=colour, chosen=self.data.get("offer") == str(n))

    @property
    def describes(self) -> bool:
        """Whether another colour is described."""
        only = self.about is not None and not self.about.offers
        return only or self.data.get("offer") == ANOTHER

    def renew(self) -> None:
        """Ask what is asked now: a choice among the colours of an earlier question is none among these."""
        super().renew()
        if self.about is not None and self.data["ask"] != str(self.about.pk):
            self.data = {**self.data, "ask": str(self.about.pk), "offer": ""}

    def clean_offer(self) -> int | None:
        """Read which one it is; None for another one, in words."""
        offer: str = self.cleaned_data["offer"]
        if offer == ANOTHER:
            return None
        return int(offer) if offer.isdecimal() else -1
