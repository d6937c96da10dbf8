"""The words of a letter to a boat's owner: plain and short."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.models import Hull, MessageKind, Wish


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What a letter says.

    ``opening`` is its first sentence, ``lines`` what was done or is asked, ``says`` how the boat stands today,
    ``press`` what its link is called, ``leads_to`` where on from the boat's page it leads, ``why`` why it came.
    """

    subject: str
    opening: str
    lines: tuple[str, ...] = ()
    says: str = ""
    press: str
    leads_to: str = ""
    why: str


@dataclass(frozen=True, slots=True)
class NotNeeded:
    """There is nothing to write any more, and why."""

    reason: str


def called(hull: Hull) -> str:
    """A boat as its owner calls it."""
    return hull.name or _("Hull %(tag)s") % {"tag": hull.tag}


def link_words(hull: Hull, says: str, wish: str) -> Words:
    """The first letter: where the boat's page is."""
    return Words(
        subject=_("%(boat)s: your boat’s page") % {"boat": called(hull)},
        opening=_("This link opens your boat’s page: how it stands, photos, and what we ask you."),
        lines=(_("Whoever has the link sees the page. Keep it to yourself."),),
        says=says,
        press=_("See your boat"),
        why=why(MessageKind.LINK, wish),
    )


def step_words(hull: Hull, lines: tuple[str, ...], says: str, wish: str) -> Words:
    """One step or several are done."""
    steps = ngettext("%(n)s step done", "%(n)s steps done", len(lines)) % {"n": len(lines)}
    return Words(
        subject=f"{called(hull)}: {lines[0] if len(lines) == 1 else steps}",
        opening=_("News of your boat:"),
        lines=lines,
        says=says,
        press=_("See your boat"),
        why=why(MessageKind.STEP, wish),
    )


def answer_words(hull: Hull, lines: tuple[str, ...], wish: str) -> Words:
    """Something waits for the owner's answer."""
    return Words(
        subject=_("%(boat)s: we need your answer") % {"boat": called(hull)},
        opening=_("We need your answer before we go on. You give it on your boat’s page."),
        lines=lines,
        press=_("Read it and answer"),
        why=why(MessageKind.ACT, wish),
    )


def collect_words(hull: Hull, lines: tuple[str, ...], says: str, wish: str) -> Words:
    """The boat can go home."""
    return Words(
        subject=_("%(boat)s is ready to go home") % {"boat": called(hull)},
        opening=_("Your boat is ready. Tell us when you come for it."),
        lines=lines,
        says=says,
        press=_("See your boat"),
        why=why(MessageKind.ACT, wish),
    )


def pay_words(hull: Hull, lines: tuple[str, ...], wish: str) -> Words:
    """Something is to be paid."""
    return Words(
        subject=_("%(boat)s: our invoice") % {"boat": called(hull)},
        opening=_("Our invoice for the work on your boat is on its page, with how to pay."),
        lines=lines,
        press=_("See the invoice"),
        why=why(MessageKind.ACT, wish),
    )


def record_words(hull: Hull, says: str, wish: str) -> Words:
    """The boat went home, and its finish record is on its page."""
    return Words(
        subject=_("%(boat)s: its finish record") % {"boat": called(hull)},
        opening=_("This is all that lies on your boat, and how to keep it well. Keep it for whoever works on it next."),
        says=says,
        press=_("Open the finish record"),
        leads_to="finish-record/",
        why=why(MessageKind.RECORD, wish),
    )


def remark_words(hull: Hull, lines: tuple[str, ...], *, asked: bool, wish: str) -> Words:
    """The shop answered, or asks."""
    subject = _("%(boat)s: a question for you") if asked else _("%(boat)s: our answer")
    return Words(
        subject=subject % {"boat": called(hull)},
        opening=_("We ask you about your boat:") if asked else _("We wrote to you about your boat:"),
        lines=lines,
        press=_("Answer on your boat’s page") if asked else _("Read it on your boat’s page"),
        why=why(MessageKind.WORDS, wish),
    )


def weekly_words(hull: Hull, lines: tuple[str, ...], says: str, wish: str) -> Words:
    """The week's letter."""
    quiet = _("No step was finished this week.")
    return Words(
        subject=_("%(boat)s: this week") % {"boat": called(hull)},
        opening=_("This week on your boat:") if lines else quiet,
        lines=lines,
        says=says,
        press=_("See your boat"),
        why=why(MessageKind.WEEKLY, wish),
    )


def why(kind: MessageKind, wish: str) -> str:
    """Why a letter came."""
    if kind in (MessageKind.LINK, MessageKind.RECORD):
        return _("You get this because your boat is with us.")
    if kind is MessageKind.WORDS:
        return _("You get this because we wrote to you on your boat’s page.")
    if kind is MessageKind.WEEKLY:
        return _("You get this because you asked for a letter every week.")
    about = {
        Wish.EVERY: _("You get this because you asked to hear of every step."),
        Wish.MILESTONES: _("You get this because you asked to hear of the milestones."),
    }
    return about.get(Wish(wish), _("You get this when we need you to do something."))
