"""What a letter is written from: the hull's work, its log, its papers and its shared photos, as they are now."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from django.utils import timezone, translation
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from hulls.charging import money
from hulls.models import ColourAsk, Estimate, Hull, Message, MessageKind, Photo, ProgressLink, Remark, Wish
from hulls.photo_shown import shown
from hulls.wording import gettext_noop
from shop.models import Shop
from stages.engine.assess import assess
from stages.engine.log import EntryKind, LogEntry, in_force
from stages.engine.work import Work
from stages.letters import words as wording
from stages.letters.render import Written, written
from stages.letters.wanted import asks_for_answer, ready_to_leave, wants_step
from stages.letters.words import NotNeeded, Words, called
from stages.models import HullWork
from stages.owner.story import story, told_lines
from stages.owner.today import told
from stages.queries.bills import to_pay
from stages.queries.finish_record import standing_record
from stages.queries.photos import shared_photos
from stages.queries.work import in_work, log_of
from stages.queries.world import around

A_WEEK = timedelta(days=7)
MOST_PHOTOS = 6
NO_LINK = gettext_noop("The boat’s page has no open link.")
NO_ADDRESS = gettext_noop("We have no e-mail address of the boat’s owner.")
NOT_WANTED = gettext_noop("The boat’s owner wants no such letter any more.")
STRUCK = gettext_noop("What it told of was struck.")
ANSWERED = gettext_noop("Nothing waits for the boat’s owner any more.")
HANDED_OVER = gettext_noop("The boat was handed over.")


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A letter that is to be written, and the boat that it is about."""

    message: Message
    hull: Hull
    wish: str
    now: datetime
    shop: Shop

    @cached_property
    def row(self) -> HullWork:
        """The hull's row of work."""
        return HullWork.objects.select_related("hull__owner", "route").get(pk=self.hull.pk)

    @cached_property
    def work(self) -> Work:
        """The engine's view of it."""
        return in_work([self.row], around().world)[0].work

    @cached_property
    def log(self) -> tuple[LogEntry, ...]:
        """Its log."""
        return log_of(self.hull.pk)

    @cached_property
    def says(self) -> str:
        """How it stands; what waits for its owner's answer stands on the page, not below these words."""
        if Estimate.objects.waiting().filter(hull=self.hull).exists():
            return _("We wait for your answer to what we ask on your boat’s page.")
        return told(self.work, assess(self.work, self.now), self.now)

    @property
    def told_of(self) -> list[LogEntry]:
        """The lines that the letter is about, less those that were struck."""
        return [entry for entry in in_force(self.log) if entry.id in self.message.lines]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A letter as it would go out now, with the numbers of its photos."""

    written: Written
    photos: tuple[int, ...] = ()


def open_link_of(hull_id: int) -> ProgressLink | None:
    """The open link of a hull, with its boat and owner."""
    found = ProgressLink.objects.filter(hull_id=hull_id, withdrawn_at=None)
    return found.select_related("hull__owner").first()


def draft_of(message: Message, *, shop: Shop, now: datetime) -> Draft | NotNeeded:
    """Write a letter as it would go out now, in its reader's language, or say why there is none any more."""
    link = open_link_of(message.hull_id)
    if link is None:
        return NotNeeded(NO_LINK)
    if not link.hull.owner.email:
        return NotNeeded(NO_ADDRESS)
    if not still_wanted(message, link):
        return NotNeeded(NOT_WANTED)
    with translation.override(link.hull.owner.reads):
        return _drafted(message, link, shop, now)


def _drafted(message: Message, link: ProgressLink, shop: Shop, now: datetime) -> Draft | NotNeeded:
    """The letter in the language that is spoken now."""
    sheet = Sheet(message=message, hull=link.hull, wish=link.wish, now=now, shop=shop)
    said = _WRITERS[MessageKind(message.kind)](sheet)
    if isinstance(said, NotNeeded):
        return said
    photos = week_photos(link.hull_id, now) if message.kind == MessageKind.WEEKLY else []
    return Draft(written=written(said, shop, called(link.hull)), photos=tuple(photo.pk for photo in photos))


def still_wanted(message: Message, link: ProgressLink) -> bool:
    """Whether the boat's owner still wants letters of a kind."""
    if message.kind == MessageKind.WEEKLY:
        return link.weekly
    if message.kind == MessageKind.STEP:
        return link.wish in (Wish.EVERY, Wish.MILESTONES)
    return link.wish != Wish.NOTHING


def week_photos(hull_id: int, now: datetime) -> list[Photo]:
    """The photos of the last week that its owner may see, the latest first, a few."""
    return list(shared_photos().filter(hull_id=hull_id, taken_at__gt=now - A_WEEK).order_by("-taken_at")[:MOST_PHOTOS])


def photos_in(message: Message) -> list[Photo]:
    """The photos of a letter that its owner may still see."""
    found = {photo.pk: photo for photo in shared_photos().filter(hull_id=message.hull_id, pk__in=message.photos)}
    return [found[pk] for pk in message.photos if pk in found]


def alt_of(photo: Photo) -> str:
    """What is on a photo, in words."""
    return shown(photo, lambda pk, size: "").alt


def _link(sheet: Sheet) -> Words | NotNeeded:
    return wording.link_words(sheet.hull, sheet.says, sheet.wish)


def _steps(sheet: Sheet) -> Words | NotNeeded:
    entries = sheet.told_of
    if not entries:
        return NotNeeded(STRUCK)
    wanted = [entry for entry in entries if wants_step(sheet.wish, sheet.work.route.by_key[entry.stage])]
    lines = tuple(told_lines(sheet.work.route, wanted, {}))
    return wording.step_words(sheet.hull, lines, sheet.says, sheet.wish) if lines else NotNeeded(NOT_WANTED)


def _act(sheet: Sheet) -> Words | NotNeeded:
    entries = sheet.told_of
    sent = [entry.details["estimate"] for entry in entries if asks_for_answer(entry)]
    papers = [paper for paper in Estimate.objects.waiting().filter(pk__in=sent).order_by("pk") if paper.holds]
    lines = tuple(f"{capfirst(paper.get_kind_display())} {paper.label}" for paper in papers)
    ready = any(entry.kind is EntryKind.FINISHED for entry in entries) and ready_to_leave(sheet.work)
    bill = _bill(sheet)
    if ColourAsk.objects.filter(hull=sheet.hull, chosen_at=None, withdrawn_at=None).exists():
        lines = (*lines, _("Which colour shall it be?"))
    if lines:
        return wording.answer_words(sheet.hull, (*lines, *bill), sheet.wish)
    if ready:
        return wording.collect_words(sheet.hull, bill, sheet.says, sheet.wish)
    return wording.pay_words(sheet.hull, bill, sheet.wish) if bill else NotNeeded(ANSWERED)


def _bill(sheet: Sheet) -> tuple[str, ...]:
    """The invoice that is to be paid, if there is one."""
    pays = to_pay(sheet.hull.pk, sheet.shop)
    if pays is None or pays.invoice is None or pays.now <= 0:
        return ()
    gaps = {"label": pays.invoice.label, "amount": money(pays.now, pays.currency)}
    return (_("Invoice %(label)s: %(amount)s to be paid") % gaps,)


def _record(sheet: Sheet) -> Words | NotNeeded:
    if not sheet.told_of or standing_record(sheet.hull.pk) is None:
        return NotNeeded(STRUCK)
    return wording.record_words(sheet.hull, sheet.says, sheet.wish)


def _words(sheet: Sheet) -> Words | NotNeeded:
    standing = Remark.objects.standing().filter(pk__in=sheet.message.lines, by__isnull=False)
    remarks = list(standing.order_by("made_at", "pk"))
    if not remarks:
        return NotNeeded(STRUCK)
    return wording.remark_words(
        sheet.hull,
        tuple(remark.words for remark in remarks),
        asked=any(remark.waits for remark in remarks),
        wish=sheet.wish,
    )


def _weekly(sheet: Sheet) -> Words | NotNeeded:
    if sheet.work.state.handed_over_at:
        return NotNeeded(HANDED_OVER)
    today = timezone.localtime(sheet.now).date()
    days = [day for day in story(sheet.work.route, sheet.log, (), today) if day.on > today - A_WEEK]
    lines = tuple(f"{day.says} · {line}" for day in reversed(days) for line in day.lines)
    return wording.weekly_words(sheet.hull, lines, sheet.says, sheet.wish)


_WRITERS = {
    MessageKind.LINK: _link,
    MessageKind.STEP: _steps,
    MessageKind.ACT: _act,
    MessageKind.WORDS: _words,
    MessageKind.WEEKLY: _weekly,
    MessageKind.RECORD: _record,
}
