"""What is filled in at a hand-over: a photo of each side, the care talk, what goes along, and the signature."""

import hashlib
from typing import Any, BinaryIO
from uuid import uuid4

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.models import View
from stages.engine.errors import EngineError
from stages.engine.leaving import leaves_by
from stages.finish.care import care_of_work
from stages.forms.act import ActForm
from stages.forms.fields import PlainText
from stages.forms.money import HoursField
from stages.forms.photos import ACCEPT, Photos, SeveralFiles, ShotForm
from stages.queries.sheet import AtHand
from stages.services.hand_over import NAME_LENGTH, Receipt
from stages.services.texts import REASON_LENGTH

GOODS_LENGTH = 4000


class FinalShotForm(ShotForm):
    """One tap for one side of the boat as it leaves: it goes into the finish record, so its owner sees it."""

    blames = "shot"
    view = forms.ChoiceField(choices=View, widget=forms.HiddenInput)

    def narrow(self) -> None:
        """The side is given."""
        for name in ("images", "caption", "stage", "shared", "at", "override"):
            del self.fields[name]

    def told(self) -> dict[str, Any]:
        """What the service is to record, by its own names."""
        return {"files": self.files_sent(), "stage": self.about, "view": self.cleaned_data["view"], "shared": True}

    def __init__(self, *args: Any, at_hand: AtHand, **more: Any) -> None:
        super().__init__(*args, at_hand=at_hand, stage=leaves_by(at_hand.work.route).key, **more)

    def called(self, view: View) -> "FinalShotForm":
        """The same under names of its own on a page that has one for each side."""
        self.id = f"take-{view.value}"
        self.auto_id = f"{self.id}-%s"
        return self

    @classmethod
    def of(cls, view: View, at_hand: AtHand) -> "FinalShotForm":
        """The form for one side."""
        return cls(at_hand=at_hand, given={"view": view.value}).called(view)


class HandOverForm(ActForm):
    """What whoever fetches the boat was told, gets, and signs for."""

    action, title, press = "hand_over", _("Hand-over"), _("Hand the boat over")
    fold = _("Hours that it took, or at another time")
    care = forms.MultipleChoiceField(
        label=_("Talk each point through, and tick it"), required=False, widget=forms.CheckboxSelectMultiple
    )
    goods = PlainText(
        label=_("What goes with the boat"),
        help_text=_("One thing a line: fittings, paddles, seats, keys."),
        max_length=GOODS_LENGTH,
        required=False,
        rows=3,
    )
    short = PlainText(
        label=_("Left out, because"),
        help_text=_("Where a point of the talk or a photo is missing. It stays on record."),
        max_length=REASON_LENGTH,
        required=False,
    )
    to = PlainText(label=_("Name of whoever fetches it"), max_length=NAME_LENGTH)
    signature = forms.CharField(required=False, strip=False, widget=forms.HiddenInput(attrs={"id": "signature"}))
    signed_paper = Photos(
        label=_("Photo of the paper that they signed"),
        required=False,
        widget=SeveralFiles(attrs={"accept": ACCEPT, "capture": "environment"}),
    )
    unsigned = PlainText(
        label=_("Nobody signs, because"),
        help_text=_("Who takes the boat, and on whose word. It stands on record in the place of the signature."),
        max_length=REASON_LENGTH,
        required=False,
    )
    hours = HoursField(label=_("Hours that it took"), required=False)
    paper = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def narrow(self) -> None:
        """Offer the points of this very finish; what came with the boat goes with it, and its owner fetches it."""
        self.points = {key_of(point): point for point in care_of_work(self.at_hand.work)}
        field = self.fields["care"]
        assert isinstance(field, forms.MultipleChoiceField)
        field.choices = [(key, gettext(point)) for key, point in self.points.items()]
        field.error_messages["invalid_choice"] = gettext("The finish changed meanwhile. Look at the points once more.")
        self.initial.setdefault("goods", self.at_hand.hull.fittings)
        self.initial.setdefault("to", self.at_hand.hull.owner.name)

    def paper_sent(self) -> BinaryIO | None:
        """The photo of the paper that came with the form, whatever else is wrong with it."""
        return next(iter(self.cleaned_data.get("signed_paper") or ()), None)

    def remember_paper(self, photo: int) -> None:
        """Keep a photo that was sent with what was filled in, so that it needs not be sent again."""
        self._changed(paper=str(photo))
        self.errors.pop("paper", None)
        self.cleaned_data["paper"] = photo

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field; a paper that is not there any more is left out next time."""
        super().blame(error)
        if error.field == "signed_paper":
            self._changed(paper="")

    def renew(self) -> None:
        """Say that it was sent before and its hand-over struck since, and give it a number of its own."""
        self.add_error(None, gettext("This form was sent before, and that hand-over was struck since. Send it again."))
        self._changed(client_id=str(uuid4()))

    def _changed(self, **fields: str) -> None:
        self.data = {**{name: self[name].data for name in self.fields}, **fields}

    @property
    def hours_told(self) -> float | None:
        """Hours as a plain number."""
        told = self.cleaned_data["hours"]
        return float(told) if told is not None else None

    def receipt(self) -> Receipt:
        """What the service is to record."""
        data = self.cleaned_data
        return Receipt(
            to=data["to"],
            care=tuple(self.points[key] for key in data["care"]),
            goods=tuple(filter(None, map(str.strip, data["goods"].splitlines()))),
            signature=data["signature"],
            paper=data["paper"],
            short=data["short"],
            unsigned=data["unsigned"],
        )


def key_of(point: str) -> str:
    """What stands for a point of the care talk in a form: another text has another one."""
    return hashlib.sha256(point.encode()).hexdigest()[:12]
