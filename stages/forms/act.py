"""What every act at a hull has: the sender's number, when it was, and what became of it."""

from datetime import datetime
from typing import Any, ClassVar
from uuid import uuid4

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.models import CrewMember
from stages.engine.errors import EngineError
from stages.engine.route import StageSpec
from stages.forms.fields import PlainText, WhenField
from stages.queries.sheet import AtHand
from stages.queries.sheet_steps import Told, told
from stages.services.orders import Hand, Outcome

# Not what is recorded, but by whom, when and in spite of what
ABOUT_IT = ("client_id", "at", "override", "pressed_at", "clock_changed")
OF_A_PHONE = ("pressed_at", "clock_changed")
ONLINE = ("link",)  # its answer is shown this once, to whoever waits for it


class ActForm(forms.Form):
    """One thing that hands do to a hull; its fields are called as the service calls them.

    Parameters
    ----------
    at_hand : AtHand
        The hull, for what can be chosen.
    stage : str
        The stage that it is about; empty where it belongs to none, or the form asks. One that the route has not
        counts as none.
    given : mapping, optional
        What is filled in from the start.
    """

    action: ClassVar[str]
    title: ClassVar[Promise]
    press: ClassVar[Promise]
    fold: ClassVar[Promise] = _("At another time")  # what is said of the fields that are folded away
    main: tuple[str, ...] = ()  # fields that are always in sight
    has_file = False
    sends_on = ""  # what has htmx send it, where that is not the press of its button alone
    quiet = False  # whether another act's button is the one to press
    takes_back = False  # what it does undoes something; its button looks so

    client_id = forms.UUIDField(widget=forms.HiddenInput(attrs={"id": False}))
    at = WhenField()
    # Of a phone that kept it while it had no network: when the button was pressed, by a clock that it had put right by
    # ours; and whether that clock was changed since, so that nobody knows any more.
    pressed_at = forms.DateTimeField(required=False, widget=forms.HiddenInput(attrs={"id": False}))
    clock_changed = forms.BooleanField(required=False, widget=forms.HiddenInput(attrs={"id": False}))
    override = PlainText(label=_("Go ahead all the same, because"), max_length=400, required=False)

    def __init__(
        self,
        data: Any = None,
        files: Any = None,
        *,
        at_hand: AtHand,
        stage: str = "",
        given: dict[str, Any] | None = None,
    ) -> None:
        self.at_hand = at_hand
        self.about = stage if stage in at_hand.work.route.by_key else ""
        self.id = "-".join(filter(None, ("do", self.action, self.about)))
        first = {"client_id": uuid4(), "stage": self.about, **(given or {})}
        super().__init__(data, files, initial=first, auto_id=f"{self.id}-%s", label_suffix="")
        self.findings: tuple[Told, ...] = ()
        self.may_override = False
        self.button: str | Promise = self.press
        self.opened = self.is_bound
        self.narrow()
        for field in self.fields.values():
            if field.widget.is_hidden:
                field.widget.attrs.setdefault("id", False)  # nothing points there, and a sheet has dozens

    def offer(self, name: str, choices: list[tuple[Any, Any]]) -> None:
        """Say what can be chosen in a field."""
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices

    def narrow(self) -> None:
        """Offer what can be chosen at this hull."""

    @property
    def spec(self) -> StageSpec | None:
        """The stage that it is about."""
        return self.at_hand.work.route.by_key.get(self.about)

    def clean(self) -> dict[str, Any] | None:
        """Ask for the time where a phone that kept this cannot know it any more."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("clock_changed") and "at" in self.fields and not cleaned.get("at"):
            words = gettext("The clock of the phone that kept this was changed since. Write when it was.")
            self.add_error("at", words)
        return cleaned

    def told(self) -> dict[str, Any]:
        """What the service is to record, by its own names."""
        return {name: value for name, value in self.cleaned_data.items() if name not in ABOUT_IT}

    def hand(self, by: CrewMember, now: datetime) -> Hand:
        """Who does it, when, and the sender's number."""
        data = self.cleaned_data
        at = data.get("at") or data.get("pressed_at") or now
        return Hand(by=by, at=at, client_id=data["client_id"], override=data.get("override", ""))

    @property
    def can_wait(self) -> bool:
        """Whether a phone without a network may keep it and send it later."""
        return self.action not in ONLINE

    def refuse(self, outcome: Outcome, by: CrewMember, now: datetime) -> None:
        """Show what the rules found, and let the shop's owner go ahead where nobody's safety hangs on it."""
        self.findings = tuple(told(finding, now, self.about) for finding in outcome.findings)
        refusing = [finding for finding in outcome.findings if finding.refuses]
        self.may_override = by.is_shop_owner and bool(refusing) and not any(f.safety for f in refusing)

    def done_elsewhere(self) -> str:
        """Address of the page that does what was asked for, where it takes more than this form asks."""
        return ""

    def leads_to(self, outcome: Outcome) -> str:
        """Address of the page that comes next, where it is not the sheet."""
        return ""

    def blame(self, error: EngineError) -> None:
        """Put what the engine says beside the field that it is about: the one place where that is done."""
        field = error.field if error.field in self.fields and not self.fields[error.field].widget.is_hidden else None
        self.add_error(field, gettext(error.message))

    @property
    def complaints(self) -> list[str]:
        """What is wrong beside no field in sight."""
        unseen = [error for field in self.hidden_fields() for error in field.errors]
        return [*self.non_field_errors(), *unseen]

    @property
    def hidden(self) -> list[forms.BoundField]:
        """Fields that nobody fills in; those of a phone that kept it only where it did."""
        return [f for f in self.hidden_fields() if f.name not in OF_A_PHONE or (self.is_bound and f.value())]

    @property
    def in_sight(self) -> list[forms.BoundField]:
        """Fields to fill in."""
        return [field for field in self.visible_fields() if field.name in self.main]

    @property
    def folded(self) -> list[forms.BoundField]:
        """Fields that may be filled in."""
        return [f for f in self.visible_fields() if f.name not in self.main and f.name != "override"]

    @property
    def fold_open(self) -> bool:
        """Whether a folded field has something to say."""
        return any(field.errors or (self.is_bound and field.value()) for field in self.folded)


def about_stage(*, ask: bool = False) -> forms.CharField:
    """The field for the stage: hidden where the form stands in a step's own card."""
    return forms.CharField(label=_("Step"), widget=forms.Select if ask else forms.HiddenInput, max_length=40)
