"""The layers of a boat's skin for its owner: what is on, what is drying, what is planned."""

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.models import Hull
from hulls.skin_section import Layer, LayerKind
from shop.models import ProductKind as Named
from shop.stored import stored
from stages.engine.assess import StageStatus
from stages.engine.state import Coat
from stages.engine.vocab import Damage, ProductKind, Surface
from stages.engine.work import Work
from stages.owner.days import day, span
from stages.owner.today import OVER

JUST_ON = 0.04  # a coat that has only begun to dry is there all the same


@dataclass(frozen=True, slots=True, kw_only=True)
class Skin:
    """What the layers are made from.

    ``photo_days`` are the days that the page shows photos of, under ``#`` and the date; ``planned`` holds by stage the
    day on which the shop's plan has its next coat.
    """

    hull: Hull
    work: Work
    statuses: tuple[StageStatus, ...]
    today: date
    photo_days: Container[date] = ()
    planned: Mapping[str, date] = field(default_factory=dict)

    def layers(self) -> tuple[Layer, ...]:
        """The layers from the innermost face outward, planned ones where they will lie."""
        inside = reversed(list(self._on(Surface.INSIDE)))
        wood = (self._wood(LayerKind.RIBS, Damage.RIBS), self._wood(LayerKind.PLANKING, Damage.PLANKS))
        return (*inside, *wood, *self._on(Surface.PLANKING), *self._on(Surface.SKIN))

    def _on(self, surface: Surface) -> Iterator[Layer]:
        by_stage = {status.spec.key: status for status in self.statuses}
        stack = self.work.state.stack(surface)
        for stage, coats in groupby(stack, key=lambda coat: coat.stage):
            yield from self._stage(by_stage[stage], list(coats))
        begun = {coat.stage for coat in stack}
        for status in self.statuses:
            spec = status.spec
            if spec.surface is surface and spec.product and status.state not in OVER and spec.key not in begun:
                yield self._layer(spec.product, self._about(spec.key, _planned(spec.coats)), share=0)

    def _stage(self, status: StageStatus, coats: list[Coat]) -> Iterator[Layer]:
        if status.state in OVER:
            yield self._finished(coats)
            return
        on = sum(1 for coat in coats if coat.number)
        planned = max(status.spec.coats, on)
        for coat in coats:
            yield self._coat(status, coat, planned)
        if left := planned - on:
            note = _("last coat, planned") if left == 1 else _planned(left, more=True)
            kind = status.spec.product or self.work.product(coats[-1]).kind
            yield self._layer(kind, self._about(status.spec.key, note), share=0)

    def _about(self, stage: str, note: str) -> str:
        """What is planned, with about when by the shop's plan."""
        on = self.planned.get(stage)
        return note if on is None else f"{note} · " + _("about %(day)s") % {"day": day(on, self.today)}

    def _finished(self, coats: list[Coat]) -> Layer:
        first, last = self._day(coats[0]), self._day(coats[-1])
        dates = span(first, last, self.today)
        count = ngettext("%(n)s coat", "%(n)s coats", len(coats)) % {"n": len(coats)}
        kind = self.work.product(coats[-1]).kind
        return self._layer(kind, dates if len(coats) == 1 else f"{count} · {dates}", coats=coats)

    def _coat(self, status: StageStatus, coat: Coat, planned: int) -> Layer:
        drying = status.drying if status.drying and status.drying.coat == coat else None
        number = _("coat %(number)s of %(n)s") % {"number": coat.number, "n": planned}
        how = _("drying") if drying else day(self._day(coat), self.today)
        share = max(drying.share, JUST_ON) if drying else 1.0
        note = how if planned == 1 or not coat.number else f"{number} · {how}"
        return self._layer(self.work.product(coat).kind, note, share=share, coats=[coat])

    def _layer(self, kind: ProductKind, note: str, *, share: float = 1.0, coats: Iterable[Coat] = ()) -> Layer:
        name = str(capfirst(Named(kind).label))
        colour = None
        if kind is ProductKind.ENAMEL:
            own = next((self.work.product(coat).colour for coat in coats), "")
            colour = own or self.hull.colour
            name = name if own else _("%(what)s, %(colour)s") % {"what": name, "colour": stored(self.hull.colour_name)}
        shown = next((on for on in map(self._day, coats) if on in self.photo_days), None)
        href = f"#{shown.isoformat()}" if shown else ""
        return Layer(kind=LayerKind(kind), name=name, note=note, share=share, colour=colour, href=href)

    def _wood(self, kind: LayerKind, damage: Damage) -> Layer:
        count = self.work.state.counts.get(damage, 0)
        mended = [s.record.finished_at for s in self.statuses if s.spec.counted is damage and s.record.finished_at]
        name = _("Ribs") if kind is LayerKind.RIBS else _("Planking")
        if not count:
            return Layer(kind=kind, name=name)
        if not mended:
            return Layer(kind=kind, name=name, note=_("%(n)s to be replaced") % {"n": count})
        on = day(timezone.localtime(max(mended)).date(), self.today)
        note = ngettext("%(n)s replaced · %(day)s", "%(n)s replaced · %(day)s", count) % {"n": count, "day": on}
        return Layer(kind=kind, name=name, note=note)

    def _day(self, coat: Coat) -> date:
        return timezone.localtime(coat.at).date()


def _planned(coats: int, *, more: bool = False) -> str:
    if coats <= 1:
        return _("planned")
    text = _("%(n)s more coats, planned") if more else _("%(n)s coats, planned")
    return text % {"n": coats}
