"""Estimates: worked out, numbered without gaps, frozen, answered once."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from hulls.charging import money
from hulls.estimate import LineKind
from hulls.materials import shop_materials
from hulls.models import Estimate, Hull
from hulls.models.estimates import FrozenError
from hulls.sizes import sizes_of
from hulls.takeoff import Item, take_off
from shop.models import Pack, Product, Shop, Tax
from stages.advice.work import work_of_steps
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.engine.route import Scope
from stages.engine.vocab import Damage
from stages.models import Entry, StageState
from stages.queries.routes import engine_route
from stages.services import bench, notes
from stages.services.answers import answer_estimate
from stages.services.change_orders import Change, raise_change_order
from stages.services.estimates import send_estimate, withdraw_estimate
from tests.factories import hand, the_shop_owner
from tests.stages.charging import (
    a_change_order,
    a_draft,
    a_guest,
    a_sent_estimate,
    a_shop_that_charges,
    a_surveyed_hull,
    answered,
    reply_to,
)

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def shop() -> Shop:
    return a_shop_that_charges()


@pytest.fixture
def hull(shop: Shop) -> Hull:
    return a_surveyed_hull(ribs=4, seats=1)


def audit() -> list[str]:
    return [str(difference) for difference in differences()]


def test_hours_come_from_the_route_s_formula_and_the_survey_at_the_shop_s_rate(hull: Hull) -> None:
    lines = {line.key: line for line in a_draft(hull).sums.lines if line.kind is LineKind.HOURS}
    assert (lines["ribs"].amount, lines["ribs"].total) == (D("6.5"), D("390.00")), "0.5 h and 4 ribs of 1.5 h, at 60"
    assert [(part.what, part.value) for part in lines["ribs"].because][:2] == [
        ("Setting up and clearing away", "0.5 h"),
        ("Ribs", "4 × 1.5 h"),
    ]
    assert "planking" not in lines, "nothing of it is broken"
    assert "estimate" not in lines, "waiting for a yes is not charged"


def test_materials_come_from_the_take_off_at_the_cheapest_packs_with_the_shop_s_mark_up(hull: Hull) -> None:
    primer = Product.objects.get(kind="primer", usual=True)
    Pack.objects.filter(product=primer).delete()
    Pack.objects.create(product=primer, called="4 L pail", amount=D(4), price=D(80))
    line = next(line for line in a_draft(hull).sums.lines if line.kind is LineKind.MATERIAL)
    assert (line.words, line.unit_price) == (primer.name, D("25.0000")), "20 a litre and a quarter on top"
    needed = next(item for item in hull_items(hull) if item.product == primer.name)
    assert float(line.amount) == pytest.approx(needed.amount, abs=0.005)
    assert line.spread > 0
    assert ("Bought as", f"1 × 4 L pail: {money(D(80), 'EUR')}") in [(b.what, b.value) for b in line.because]


def hull_items(hull: Hull) -> tuple[Item, ...]:
    """What the take-off by itself says of such a hull."""
    specs = engine_route(hull.work.route).stages
    scope = Scope(counts={Damage.RIBS: 4, Damage.SEATS: 1}, choices=hull.choices)
    planned = [spec for spec in specs if spec.when.holds(scope)]
    return take_off(sizes_of(hull), work_of_steps(planned, scope.counts), shop_materials()).items


def test_a_product_without_a_price_is_left_out_until_one_is_typed(hull: Hull) -> None:
    Pack.objects.update(price=None)
    assert not [line for line in a_draft(hull).sums.lines if line.kind is LineKind.MATERIAL]
    primer = Product.objects.get(kind="primer", usual=True)
    (line,) = [x for x in a_draft(hull, prices={primer.name: D(40)}).sums.lines if x.kind is LineKind.MATERIAL]
    assert line.unit_price == D("50.0000")


def test_what_was_typed_goes_with_the_draft_and_a_new_one_takes_its_place(hull: Hull) -> None:
    first = a_draft(
        hull, hours={"ribs": D(8)}, lumps=(("Caning", D(120)),), discount=("For waiting", D(20)), words="Hi"
    )
    lines = {line.key or line.words: line.total for line in first.sums.lines}
    assert (lines["ribs"], lines["Caning"], lines["For waiting"]) == (D(480), D(120), D(-20))
    again = a_draft(hull, hours={"ribs": D(0)})
    assert again.pk == first.pk
    assert "ribs" not in {line.key for line in again.sums.lines}
    assert Entry.objects.filter(kind="estimate").count() == 0, "a draft is nobody's business yet"


def test_numbers_have_no_gaps_and_each_kind_counts_for_itself(hull: Hull) -> None:
    other = a_surveyed_hull("H-2")
    sent = [a_sent_estimate(hull), a_sent_estimate(other)]
    a_draft(a_surveyed_hull("H-3"))
    orders = [a_change_order(hull), a_change_order(other)]
    assert [e.label for e in (*sent, *orders)] == ["E-1", "E-2", "C-1", "C-2"]
    assert audit() == []
    Estimate.objects.filter(label="E-1").update(number=7)
    assert any("no number 1" in found for found in audit())


def test_sent_it_is_frozen_with_its_days_and_its_digest_in_the_log(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    assert sent.valid_until == timezone.localdate() + timedelta(days=30)
    line = Entry.objects.get(hull=hull, kind="estimate")
    assert {line.details[k] for k in ("label", "digest", "total")} == {"E-1", sent.digest, str(sent.total)}
    with pytest.raises(FrozenError):
        sent.delete()


def test_the_settings_of_tomorrow_change_nothing_that_was_sent(hull: Hull, shop: Shop) -> None:
    sent = a_sent_estimate(hull)
    Tax.objects.update(rate_pct=D(7))
    shop.hourly_rate = D(99)
    shop.save()
    assert Estimate.objects.get(pk=sent.pk).sums == sent.sums
    assert sent.holds


def test_the_same_draft_is_sent_once(hull: Hull) -> None:
    draft, who = a_draft(hull), hand()
    assert send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=who).done
    assert send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=who).repeated
    with pytest.raises(EngineError):
        send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=hand())
    assert Entry.objects.filter(hull=hull, kind="estimate").count() == 1


def test_another_hull_s_draft_is_not_sent_here(hull: Hull) -> None:
    draft = a_draft(a_surveyed_hull("H-2"))
    with pytest.raises(EngineError):
        send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=hand())


def test_a_change_makes_a_new_version_and_the_old_one_cannot_be_approved_any_more(hull: Hull) -> None:
    first = a_sent_estimate(hull)
    second = a_sent_estimate(hull, lumps=(("Caning", D(120)),))
    assert (second.label, second.version) == (first.label, 2)
    assert Estimate.objects.get(pk=first.pk).answer == "replaced"
    with pytest.raises(EngineError, match="A later version"):
        answered(first)
    assert answered(second).done
    assert audit() == []


def test_the_owner_s_yes_is_kept_with_exactly_what_was_agreed_and_finishes_its_step(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    outcome = answered(sent, name="  Ada Reed ")
    assert outcome.entry is not None
    assert outcome.entry.by is None
    told = outcome.entry.details
    assert (told["what"], told["name"], told["digest"], told["total"]) == (
        "approved",
        "Ada Reed",
        sent.digest,
        str(sent.total),
    )
    assert StageState.objects.get(work=hull.pk, stage="estimate").finished_at == outcome.entry.at
    held = Estimate.objects.get(pk=sent.pk)
    assert (held.answer, held.answered_by, held.answered_at) == ("approved", "Ada Reed", outcome.entry.at)
    assert audit() == []


def test_one_yes_sent_twice_is_one(hull: Hull) -> None:
    sent, guest = a_sent_estimate(hull), a_guest()
    assert answer_estimate(hull_id=hull.pk, reply=reply_to(sent), hand=guest).done
    assert answer_estimate(hull_id=hull.pk, reply=reply_to(sent), hand=guest).repeated
    again = answered(sent)
    assert again.already is not None
    assert again.already.details["what"] == "approved"
    assert Entry.objects.filter(hull=hull, kind="estimate").count() == 2


def test_what_is_answered_stays_answered(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    answered(sent)
    with pytest.raises(EngineError, match="approved before"):
        answered(sent, yes=False)
    with pytest.raises(EngineError, match="change order"):
        a_draft(hull)
    with pytest.raises(EngineError):
        withdraw_estimate(hull_id=hull.pk, estimate=sent.pk, hand=hand())


def test_after_a_no_a_new_version_may_be_sent(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    assert answered(sent, yes=False).done
    with pytest.raises(EngineError, match="declined before"):
        answered(sent)
    assert answered(a_sent_estimate(hull, words="A smaller job")).done


def test_an_estimate_that_was_changed_behind_the_program_is_not_approved_and_audit_names_it(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    sent.body["lines"][0]["words"] = "Something else"
    Estimate.objects.filter(pk=sent.pk).update(body=sent.body)
    with pytest.raises(EngineError, match="not what was sent"):
        answered(sent)
    assert any("changed since" in found for found in audit())


@pytest.mark.parametrize("column", ["subtotal", "total", "deposit"])
def test_a_column_that_was_changed_behind_the_program_is_named_and_not_agreed_to(hull: Hull, column: str) -> None:
    sent = a_sent_estimate(hull)
    assert sent.holds
    Estimate.objects.filter(pk=sent.pk).update(**{column: getattr(sent, column) - 1})
    with pytest.raises(EngineError, match="not what was sent"):
        answered(sent)
    assert any("changed since" in found for found in audit())


@pytest.mark.parametrize("altered", [{"digest": "0" * 64}, {"label": "E-9"}, {"version": 9}])
def test_an_altered_answer_agrees_to_nothing(hull: Hull, altered: dict[str, Any]) -> None:
    sent = a_sent_estimate(hull)
    with pytest.raises(EngineError):
        answered(sent, **altered)
    assert Entry.objects.filter(hull=hull, kind="estimate").count() == 1


def test_the_answer_to_another_boat_s_estimate_is_refused(hull: Hull) -> None:
    sent = a_sent_estimate(a_surveyed_hull("H-2"))
    with pytest.raises(EngineError):
        answer_estimate(hull_id=hull.pk, reply=reply_to(sent), hand=a_guest())


def test_a_draft_from_before_the_yes_does_not_overtake_what_was_approved(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    draft = a_draft(hull, lumps=(("Caning", D(120)),))
    answered(sent)
    with pytest.raises(EngineError, match="change order"):
        send_estimate(hull_id=hull.pk, estimate=draft.pk, hand=hand())
    assert list(Estimate.objects.filter(sent_at__isnull=False)) == [sent]
    assert audit() == []


def test_a_change_order_is_never_called_as_an_estimate_is(hull: Hull, shop: Shop) -> None:
    shop.change_prefix = shop.estimate_prefix
    with pytest.raises(ValidationError) as refused:
        shop.full_clean()
    assert list(refused.value.message_dict) == ["change_prefix"]
    shop.save()
    sent = a_sent_estimate(hull)
    with pytest.raises(EngineError, match="another prefix"):
        raise_change_order(
            hull_id=hull.pk, change=Change(words="Rot", stages=("ribs",), hours=D(1)), hand=hand(the_shop_owner())
        )
    assert answered(sent).done


def test_a_withdrawn_one_cannot_be_approved(hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    assert withdraw_estimate(hull_id=hull.pk, estimate=sent.pk, hand=hand()).done
    with pytest.raises(EngineError, match="withdrawn"):
        answered(sent)
    assert a_sent_estimate(hull).version == 2
    assert audit() == []


@pytest.mark.parametrize(("days_ago", "holds"), [(30, True), (31, False)])
def test_it_holds_through_its_last_day_and_no_longer(shop: Shop, days_ago: int, holds: bool) -> None:
    then = timezone.now() - timedelta(days=days_ago)
    sent = a_sent_estimate(a_surveyed_hull(at=then), at=then)
    if holds:
        assert answered(sent).done
    else:
        with pytest.raises(EngineError, match="days are over"):
            answered(sent)


def test_a_yes_needs_a_name(hull: Hull) -> None:
    with pytest.raises(EngineError) as refused:
        answered(a_sent_estimate(hull), name=" ")
    assert refused.value.field == "name"


def test_without_an_hourly_rate_no_estimate_is_made(hull: Hull, shop: Shop) -> None:
    shop.hourly_rate = D(0)
    shop.save()
    with pytest.raises(EngineError) as refused:
        a_draft(hull)
    assert refused.value.field == "hourly_rate"


def test_the_line_of_an_estimate_is_not_struck(hull: Hull) -> None:
    a_sent_estimate(hull)
    number = Entry.objects.get(hull=hull, kind="estimate").number
    with pytest.raises(EngineError, match="cannot be struck"):
        notes.strike_entry(hull_id=hull.pk, number=number, reason="wrong", hand=hand(the_shop_owner()))


# -- change orders


def test_a_change_order_stops_its_step_until_the_answer_and_leaves_the_others_alone(hull: Hull) -> None:
    answered(a_sent_estimate(hull))
    order = a_change_order(hull, "survey")
    refused = bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    assert [finding.rule for finding in refused.findings if finding.refuses] == ["approved"]
    assert answered(order).done
    assert bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand()).done
    assert audit() == []


def test_only_the_shop_s_owner_goes_on_in_spite_of_an_open_change_order_with_a_reason(hull: Hull) -> None:
    a_change_order(hull, "survey")
    crew = hand(override="they said yes at the gate")
    assert not bench.start_stage(hull_id=hull.pk, stage="survey", hand=crew).done
    boss = hand(the_shop_owner(), override="they said yes at the gate")
    assert bench.start_stage(hull_id=hull.pk, stage="survey", hand=boss).done


def test_the_owner_is_asked_about_a_find_once(hull: Hull) -> None:
    found = notes.add_find(hull_id=hull.pk, damage="ribs", count=1, hand=hand())
    assert found.entry is not None
    a_change_order(hull, find=found.entry.number)
    with pytest.raises(EngineError, match="asked about this find"):
        a_change_order(hull, find=found.entry.number)


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("stages", {"stages": ()}),
        ("stage", {"stages": ("rigging",)}),
        ("words", {"words": " "}),
        ("lines", {"hours": D(0)}),
        ("amount", {"hours": D(-1)}),
        ("materials", {"materials": D("-5")}),
        ("price", {"price": D("1.005")}),
        ("", {"find": 1}),
    ],
)
def test_a_change_order_that_cannot_be_is_refused_by_its_field(
    hull: Hull, field: str, change: dict[str, object]
) -> None:
    told = {"words": "Rot", "stages": ("ribs",), "hours": D(1), **change}
    with pytest.raises(EngineError) as refused:
        raise_change_order(hull_id=hull.pk, change=Change(**told), hand=hand())  # type: ignore[arg-type]
    assert refused.value.field == field
    assert not Estimate.objects.exists()


def test_one_change_order_sent_twice_is_one(hull: Hull) -> None:
    who, change = hand(), Change(words="Rot", stages=("ribs",), hours=D(1))
    assert raise_change_order(hull_id=hull.pk, change=change, hand=who).done
    assert raise_change_order(hull_id=hull.pk, change=change, hand=who).repeated
    assert Estimate.objects.count() == 1
