"""Forms for photos: from the camera with one tap, several from the phone, and what is said of one afterwards."""

from typing import Any
from uuid import uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from hulls.models import Photo, View
from shop.models import CrewMember
from stages.engine.errors import EngineError
from stages.engine.route import Route
from stages.forms.act import ActForm
from stages.forms.fields import PlainText
from stages.services.orders import Hand
from stages.services.photos import CAPTION_LENGTH, MOST_AT_ONCE, NotKept

ACCEPT = "image/jpeg,image/png,image/webp,image/heic,image/heif,image/avif,.heic,.heif,.avif"


class SeveralFiles(forms.FileInput):
    """Chooses any number of files."""

    allow_multiple_selected = True

    def use_required_attribute(self, initial: Any) -> bool:
        """One of two such fields is enough: the form asks for it, not the browser."""
        return False

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """All of them; Django's own takes the last."""
        return files.getlist(name) if hasattr(files, "getlist") else files.get(name)


class Photos(forms.FileField):
    """Any number of files."""

    widget = SeveralFiles

    def clean(self, data: Any, initial: Any = None) -> "list[UploadedFile[Any]]":
        """The files that were sent; what each of them is, is told later and by its bytes."""
        return [file for file in data or () if file]


class PhotoForm(ActForm):
    """Add photos: from the camera, or several that the phone holds."""

    action, title, press = "photo", _("Add photos"), _("Keep the photos")
    main: tuple[str, ...] = ("shot", "images", "caption", "stage", "view", "shared")
    has_file = True
    blames = "images"  # the field that errors stand beside
    shot = Photos(
        label=_("Take a photo"),
        widget=SeveralFiles(attrs={"accept": "image/*", "capture": "environment"}),
    )
    images = Photos(
        label=_("Photos from the phone"),
        help_text=_("JPEG, PNG, WebP, HEIC or AVIF, up to 40 MB each. Place and time that the phone wrote go."),
        widget=SeveralFiles(attrs={"accept": ACCEPT}),
    )
    caption = PlainText(label=_("What they show"), max_length=CAPTION_LENGTH, required=False)
    stage = forms.ChoiceField(label=_("Step"), required=False)
    view = forms.ChoiceField(label=_("Seen from"), choices=View, required=False)
    shared = forms.BooleanField(label=_("Show them to the boat's owner"), required=False)

    def narrow(self) -> None:
        """Begin with what the shop usually does, at the step that is in hand."""
        self.offer("stage", steps_of(self.at_hand.work.route))
        if not self.about and self.at_hand.in_hand:
            self.initial["stage"] = self.at_hand.in_hand[0].spec.key
        self.fields["shared"].initial = self.at_hand.setup.shop.photos_shared

    def clean(self) -> dict[str, Any] | None:
        """Ask for a photo, and for no more than the shop takes at once."""
        cleaned = super().clean()
        count = len(self.files_sent())
        if not count:
            self.add_error(self.blames, gettext("Choose a photo first."))
        if count > MOST_AT_ONCE:
            words = ngettext("Up to %(most)s photo at once.", "Up to %(most)s photos at once.", MOST_AT_ONCE)
            self.add_error(self.blames, ValidationError(words, params={"most": MOST_AT_ONCE}))
        return cleaned

    def files_sent(self) -> "list[UploadedFile[Any]]":
        """Every file that was sent."""
        data = self.cleaned_data
        return [*(data.get("shot") or ()), *(data.get("images") or ())]

    def told(self) -> dict[str, Any]:
        """What the service is to record, by its own names."""
        data = self.cleaned_data
        about = {name: data[name] for name in ("caption", "view", "shared")}
        stage = self.about or data.get("stage", "")
        return {**about, "files": self.files_sent(), "stage": stage}

    def not_kept(self, refused: tuple[NotKept, ...]) -> None:
        """Say of each file why it was not kept."""
        for file in refused:
            self.add_error(self.blames, said_of(file))


class FewWordsForm(PhotoForm):
    """The same as it lies folded on a sheet: light, at the step that is in hand; the rest can be said of each photo."""

    def narrow(self) -> None:
        """Leave the long lists out."""
        super().narrow()
        del self.fields["view"]
        self.fields["stage"].widget = forms.HiddenInput()


class ShotForm(PhotoForm):
    """One tap at a step: the camera opens, and the photo is sent as soon as it is taken."""

    main = ("shot",)
    press = _("Keep the photo")
    sends_on = "submit, change from:find [type=file]"
    shared = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def narrow(self) -> None:
        """Nothing to fill in: words can follow."""
        super().narrow()
        for name in ("images", "caption", "stage", "view", "at"):
            del self.fields[name]


class AboutPhotoForm(forms.Form):
    """What is said of a photo, and who sees it."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    caption = PlainText(label=_("What it shows"), max_length=CAPTION_LENGTH, required=False)
    view = forms.ChoiceField(label=_("Seen from"), choices=View, required=False)
    stage = forms.ChoiceField(label=_("Step"), required=False)
    shared = forms.BooleanField(label=_("Show it to the boat's owner"), required=False)

    def __init__(self, data: Any = None, *, photo: Photo, route: Route) -> None:
        as_it_is = {name: getattr(photo, name) for name in ("caption", "view", "stage", "shared")}
        super().__init__(data, initial={**as_it_is, "client_id": uuid4()}, label_suffix="")
        self.fields["stage"] = forms.ChoiceField(label=_("Step"), required=False, choices=steps_of(route))

    def hand(self, by: CrewMember, now: Any) -> Hand:
        """Who says so."""
        return Hand(by=by, at=now, client_id=self.cleaned_data["client_id"])

    def told(self) -> dict[str, Any]:
        """What the service is to record, by its own names."""
        return {name: value for name, value in self.cleaned_data.items() if name != "client_id"}

    @property
    def says_anew(self) -> bool:
        """Whether anything of it differs from what is on record."""
        return bool(set(self.changed_data) - {"client_id"})

    def blame(self, error: EngineError) -> None:
        """Put what the service says beside the field that it is about."""
        self.add_error(error.field if error.field in self.fields else None, gettext(error.message))


def steps_of(route: Route) -> list[tuple[Any, Any]]:
    """The steps of a route to choose from, or none."""
    return [("", _("none in particular")), *((spec.key, spec.name) for spec in route.stages)]


def said_of(file: NotKept) -> str:
    """Why a file was not kept, by its name."""
    return gettext("%(name)s was not kept. %(why)s") % {"name": file.name, "why": gettext(file.why)}
