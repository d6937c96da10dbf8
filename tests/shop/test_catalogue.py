"""The catalogue of French texts: whole for all that boats' owners and strangers read, and compiled as it stands."""

import subprocess
from pathlib import Path

import pytest
from django.utils import translation

from hulls.colour_names import PALETTE
from hulls.models import EstimateKind, HullKind, PaidBy, PaymentKind, View, Wish
from shop.models import ProductKind
from stages.models import Condition, Damage, Surface
from tests.fixtures.texts import TREE, all_sources, marked, refusals, texts_of

CATALOGUE = TREE / "shop" / "locale" / "fr" / "LC_MESSAGES"
# What boats' owners and strangers read, by the beginnings of its paths; the crew's own pages are English.
READ_BY_OWNERS = (
    "hulls/colour_names.py",
    "hulls/lines/principal.py",
    "hulls/photo_shown.py",
    "hulls/takeoff/",
    "shop/pdf.py",
    "shop/setup/",
    "shop/units/",
    "stages/advice/",
    "stages/finish/",
    "stages/forms/answer.py",
    "stages/forms/enquiry.py",
    "stages/forms/fields.py",
    "stages/forms/language.py",
    "stages/forms/letters.py",
    "stages/forms/supplies.py",
    "stages/forms/thread.py",
    "stages/letters/words.py",
    "stages/owner/",
    "stages/queries/billing.py",
    "stages/queries/bills.py",
    "stages/queries/estimate_",
    "stages/queries/estimates.py",
    "stages/queries/finish_record.py",
    "stages/queries/letters.py",
    "stages/queries/planning/why.py",
    "stages/queries/progress.py",
    "stages/queries/supplies",
    "stages/queries/used_on.py",
    "stages/saying.py",
    "stages/services/answers.py",
    "stages/services/colours.py",
    "stages/services/texts.py",
    "stages/services/thread.py",
    "stages/setup/",
    "templates/base.html",
    "templates/components/ask.html",
    "templates/components/caution.html",
    "templates/components/colour_ask.html",
    "templates/components/estimate.html",
    "templates/components/field.html",
    "templates/components/film.html",
    "templates/components/finish_",
    "templates/components/flood.html",
    "templates/components/invoice.html",
    "templates/components/languages.html",
    "templates/components/letters.html",
    "templates/components/measured_hull.svg.html",
    "templates/components/pairs.html",
    "templates/components/photo.html",
    "templates/components/rounding.html",
    "templates/components/section.svg.html",
    "templates/components/signature.svg.html",
    "templates/components/taxes.html",
    "templates/components/thread.html",
    "templates/components/to_pay.html",
    "templates/letters/",
    "templates/stages/bill_pdf.html",
    "templates/stages/estimate_pdf.html",
    "templates/stages/finish_record_owner.html",
    "templates/stages/finish_record_pdf.html",
    "templates/stages/owner_base.html",
    "templates/stages/progress",
    "templates/stages/stop.html",
    "templates/stages/supplies",
)
ENUMERATIONS = (Condition, Damage, EstimateKind, HullKind, PaidBy, PaymentKind, ProductKind, Surface, View, Wish)


def sources() -> list[Path]:
    """The files that hold texts for owners."""
    named = [(path, path.relative_to(TREE).as_posix()) for path in all_sources()]
    return [path for path, name in named if name.startswith(READ_BY_OWNERS)]


def test_the_compiled_catalogue_is_that_of_the_texts(msgfmt: Path, tmp_path: Path) -> None:
    fresh = tmp_path / "django.mo"
    subprocess.run([msgfmt / "msgfmt", "--check-format", "--output", fresh, CATALOGUE / "django.po"], check=True)
    assert texts_of(CATALOGUE / "django.mo") == texts_of(fresh)


def test_every_text_that_owners_read_has_a_french_one(msgfmt: Path, tmp_path: Path) -> None:
    files, french = sources(), texts_of(CATALOGUE / "django.mo")
    assert len(files) > 100
    assert [begin for begin in READ_BY_OWNERS if not any(begin in path.as_posix() for path in files)] == []
    wanted = marked(files, msgfmt, tmp_path)
    assert len(wanted) > 600
    assert [key for key in wanted if not french.get(key)] == []


def test_what_a_rule_refuses_has_its_french_words_since_a_finish_record_tells_what_was_set_aside() -> None:
    french = texts_of(CATALOGUE / "django.mo")
    said = {path.stem: refusals(path) for path in (TREE / "stages" / "engine" / "rules").glob("*.py")}
    assert sum(map(len, said.values())) > 50
    assert "“%(first)s” comes before “%(stage)s”." in said["order"]
    assert [text for texts in said.values() for text in texts if not french.get(text)] == []


def test_a_text_without_a_french_one_would_be_found(msgfmt: Path, tmp_path: Path) -> None:
    planted, found = tmp_path / "planted.py", tmp_path / "found"
    found.mkdir()
    planted.write_text('from django.utils.translation import gettext as _\n\nSAID = _("Planted, and said nowhere.")\n')
    wanted = marked([planted], msgfmt, found)
    assert wanted == {"Planted, and said nowhere."}
    assert "Planted, and said nowhere." not in texts_of(CATALOGUE / "django.mo")


@pytest.mark.parametrize("kinds", ENUMERATIONS, ids=lambda kinds: kinds.__name__)
def test_every_kind_has_its_french_name(kinds: type[ProductKind]) -> None:
    french = texts_of(CATALOGUE / "django.mo")
    with translation.override("en"):
        english = [str(kind.label) for kind in kinds]
    assert [label for label in english if not french.get(label)] == []


def test_every_colour_of_the_palette_has_its_french_name() -> None:
    french = texts_of(CATALOGUE / "django.mo")
    assert [name for name, _colour in PALETTE if french.get(name) in (None, name)] == []
