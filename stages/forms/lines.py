"""The forms by which a hull's lines are written down: stations as taped, or a table of offsets."""

from typing import Any, BinaryIO

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from hulls.lines import HULL_TYPES, LinesError, Taped, measure_taped
from hulls.models import Hull
from hulls.offsets.kept import Lines
from hulls.offsets.reading import TableError, read_table, read_text
from hulls.sizes import principal_of
from shop.sheets.problems import RowProblem, SheetError
from shop.sheets.source import encoding_of
from shop.sheets.text import opened
from shop.units import UnitSystem, format_length
from stages.forms.fields import LengthField

LARGEST = 200_000  # bytes of a table
ROWS, SPARE = 6, 2
MOST_ROWS = 40
FIELDS = {"station": "x_m", "girth": "girth_m", "half_breadth": "half_breadth_m"}


class TapedRow(forms.Form):
    """One station: where it is, and what was taped there."""

    station = LengthField(label=_("From one end"), required=False)
    girth = LengthField(label=_("Girth, sheer to sheer"), required=False)
    half_breadth = LengthField(label=_("Half-breadth"), required=False)

    def __init__(self, *args: Any, hull: Hull, exact: Taped | None = None, **more: Any) -> None:
        super().__init__(*args, **more)
        self.hull, self.exact = hull, exact
        self.taped: Taped | None = None

    def clean(self) -> dict[str, Any]:
        """Check that this hull can have such a station."""
        data = super().clean() or self.cleaned_data
        if self.errors or not any(data.get(name) is not None for name in FIELDS):
            return data
        if data.get("station") is None:
            self.add_error("station", gettext("Say where along the hull it was taped."))
            return data
        values: dict[str, Any] = {
            to: getattr(self.exact, to) if self.exact and name not in self.changed_data else data.get(name)
            for name, to in FIELDS.items()
        }
        try:
            taped = Taped(**values)
            measure_taped(principal_of(self.hull), [taped], HULL_TYPES[self.hull.hull_type])
        except LinesError as error:
            names = {to: name for name, to in FIELDS.items()}
            self.add_error(names.get(error.field), error.message)
        else:
            self.taped = taped
        return data


def _written(taped: Taped, units: UnitSystem) -> dict[str, str]:
    values = {name: getattr(taped, to) for name, to in FIELDS.items()}
    return {name: format_length(value, units) for name, value in values.items() if value is not None}


class TapedRows(forms.BaseFormSet):  # type: ignore[type-arg]  # not subscriptable at run time
    """All stations of a hull."""

    def __init__(self, data: Any = None, *, hull: Hull, taped: tuple[Taped, ...], units: UnitSystem) -> None:
        self.hull, self.exact = hull, taped
        first = [_written(one, units) for one in taped]
        super().__init__(data, initial=first, prefix="taped")
        self.extra = max(ROWS - len(taped), SPARE)

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        """Give each row its hull and what stands in it to the last digit."""
        exact = self.exact[index] if index is not None and index < len(self.exact) else None
        return {"hull": self.hull, "exact": exact}

    def clean(self) -> None:
        """Check the stations together."""
        if any(self.errors):
            return
        if not self.stations:
            raise ValidationError(gettext("No station is filled in."))
        try:
            measure_taped(principal_of(self.hull), self.stations, HULL_TYPES[self.hull.hull_type])
        except LinesError as error:
            raise ValidationError(error.message) from None

    @property
    def stations(self) -> tuple[Taped, ...]:
        """The stations that are filled in."""
        return tuple(form.taped for form in self.forms if form.taped is not None)


TapedFormSet = forms.formset_factory(TapedRow, formset=TapedRows, max_num=MOST_ROWS, absolute_max=MOST_ROWS)


class TableForm(forms.Form):
    """A table, pasted or as a file."""

    table = forms.CharField(
        label=pgettext_lazy("of offsets", "Table"),
        required=False,
        max_length=LARGEST,
        strip=False,
        help_text=_(
            "One row a point: station, height, half-breadth, with a first line that names them. Metres under "
            "station_m, height_m, half_breadth_m; or feet-inches-eighths like 1-2-3 and 1-2-3+ under station, height, "
            "half-breadth. Or as it lies on the loft floor: stations across (or down), and a line a row: sheer height, "
            "keel height, sheer half-breadth, WL 6 in, buttock 9 in; with a row “Station spacing”."
        ),
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "autocapitalize": "off"}),
    )
    file = forms.FileField(
        label=_("Or a CSV file"),
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.problems: list[RowProblem] = []
        self.lines: Lines | None = None

    def clean(self) -> dict[str, Any]:
        """Read the table; a file goes before what was pasted."""
        data = super().clean() or self.cleaned_data
        file, table = data.get("file"), data.get("table") or ""
        if self.errors:
            return data
        if not file and not table.strip():
            self.add_error("table", gettext("Paste a table, or choose a file."))
            return data
        field = "file" if file else "table"
        if file and (file.size or 0) <= LARGEST:
            self._put_into_the_box(file)
        if file and (file.size or 0) > LARGEST:
            self.add_error("file", gettext("This file is too large for a hull's table."))
            return data
        try:
            self.lines = read_table(file) if file else read_text(table)
        except SheetError as error:
            self.add_error(field, str(error))
        except TableError as error:
            self.problems = error.problems
            self.add_error(field, str(error))
        return data

    def _put_into_the_box(self, file: BinaryIO) -> None:
        """Show what a file holds where it can be mended, should it be refused; what was typed there stays instead."""
        typed, first = (str(text or "").split() for text in (self.data.get("table"), self.initial.get("table")))
        if typed and typed != first:
            return
        try:
            with opened(file, encoding_of(file)) as text:
                self.data = {**dict(self.data.items()), "table": text.read()}
        except (SheetError, UnicodeDecodeError):
            return
        file.seek(0)
