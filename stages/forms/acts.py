"""Every act by its name, and which of them a hull's sheet offers where."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from django.utils.translation import gettext

from stages.engine.assess import StageStatus
from stages.engine.vocab import Action, Gate
from stages.forms import bench, notes
from stages.forms.act import ActForm
from stages.forms.coat import CoatForm
from stages.forms.dryness import DryForm, TackyForm
from stages.forms.photos import FewWordsForm, PhotoForm, ShotForm
from stages.forms.survey import SurveyForm
from stages.queries.sheet import AtHand

ACTS: dict[str, type[ActForm]] = {
    form.action: form
    for form in (
        bench.StartForm,
        CoatForm,
        bench.SandForm,
        TackyForm,
        DryForm,
        bench.RagsForm,
        bench.FinishForm,
        bench.LeaveOutForm,
        bench.PutBackForm,
        notes.MoveForm,
        SurveyForm,
        notes.FindForm,
        notes.LeadTestForm,
        notes.MoistureForm,
        notes.NoteForm,
        PhotoForm,
        notes.StrikeForm,
        notes.LinkForm,
        notes.WithdrawLinkForm,
    )
}
BESIDE = (
    "move",
    "photo",
    "note",
    "find",
    "moisture",
    "lead_test",
    "survey",
    "sand",
    "start",
    "leave_out",
    "put_back",
    "strike",
)
# What is seldom recorded there has no form on a fresh sheet, only a link that asks for it; a sheet that a phone keeps
# has them all, since no link leads anywhere without a network.
SELDOM = ("survey", "lead_test", "sand", "start", "leave_out", "put_back", "strike")
LIGHT: dict[str, type[ActForm]] = {"photo": FewWordsForm}  # what stands for an act until it is asked for
BESIDE_AFTER = ("photo", "note", "strike")  # what can still be recorded of a hull that was handed over
NEXT: dict[Action, str] = {
    Action.START: "start",
    Action.MOVE: "move",
    Action.COAT: "coat",
    Action.SAND: "sand",
    Action.RAGS: "rags",
    Action.FINISH: "finish",
}


@dataclass(frozen=True, slots=True)
class Way:
    """A link that asks for the form of an act."""

    action: str
    about: str = ""

    @property
    def title(self) -> str:
        """What is recorded by it."""
        return str(ACTS[self.action].title)

    @property
    def href(self) -> str:
        """Where it leads, from the sheet."""
        asked = urlencode({"do": self.action, **({"about": self.about} if self.about else {})})
        return f"?{asked}#" + "-".join(filter(None, ("do", self.action, self.about)))


@dataclass(frozen=True, slots=True, kw_only=True)
class StepForms:
    """What is offered at one step: what comes next, a photo, how its coat was found, what else can be recorded.

    ``leaves`` says that the boat goes home with it: that has a page of its own. ``seldom`` are the acts that a link
    asks for: while a step waits, what would come after.
    """

    key: str
    leaves: bool
    next: ActForm | None
    shot: ActForm
    tried: tuple[ActForm, ...]
    others: tuple[ActForm, ...]
    seldom: tuple[Way, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """Every form of a sheet: at each step in hand, beside the steps, and for the progress link.

    ``seldom`` are the acts that a link asks for.
    """

    steps: tuple[StepForms, ...]
    beside: tuple[ActForm, ...]
    link: tuple[ActForm, ...]
    seldom: tuple[Way, ...] = ()

    def instead(self, form: ActForm) -> "Offered":
        """The same with a form in the place of its like."""
        if not any(form.id == other.id for other in self):
            return self._with(form)

        def put(other: ActForm) -> ActForm:
            return form if other.id == form.id else other

        steps = (
            replace(
                at,
                next=at.next and put(at.next),
                shot=put(at.shot),
                tried=tuple(map(put, at.tried)),
                others=tuple(map(put, at.others)),
            )
            for at in self.steps
        )
        beside, link = tuple(map(put, self.beside)), tuple(map(put, self.link))
        return replace(self, steps=tuple(steps), beside=beside, link=link)

    def _with(self, form: ActForm) -> "Offered":
        """The same with a form that has no place yet: at its step if that is in hand, else first beside the steps."""
        if not any(at.key == form.about for at in self.steps):
            return replace(self, beside=(form, *self.beside))
        steps = (replace(at, others=(form, *at.others)) if at.key == form.about else at for at in self.steps)
        return replace(self, steps=tuple(steps))

    def __iter__(self) -> Iterator[ActForm]:
        for at in self.steps:
            yield from (*((at.next,) if at.next else ()), at.shot, *at.tried, *at.others)
        yield from (*self.beside, *self.link)


def offered(
    at_hand: AtHand,
    *,
    link_open: bool,
    bound: ActForm | None = None,
    asked: ActForm | None = None,
    ahead: bool = False,
) -> Offered:
    """The forms that the sheet of a hull offers.

    Parameters
    ----------
    at_hand : AtHand
        The hull.
    link_open : bool
        Whether its progress link is open.
    bound, asked : ActForm, optional
        A form that came back, and one that is to stand open. Each stands in the place of its like; first beside the
        steps where that place is gone.
    ahead : bool
        Whether a phone keeps the sheet: then it has every form, and a step that is not started has what follows its
        start too, since no fresh sheet comes in between.
    """
    closed = at_hand.row.handed_over_at is not None
    steps = () if closed else tuple(_at_step(at_hand, status, ahead) for status in at_hand.in_hand)
    actions = BESIDE_AFTER if closed else tuple(_worth_offering(at_hand))
    seldom = () if ahead else tuple(action for action in actions if action in SELDOM and not _due(at_hand, action))
    beside = (LIGHT.get(action, ACTS[action])(at_hand=at_hand) for action in actions if action not in seldom)
    every = Offered(
        steps=steps,
        beside=tuple(beside),
        link=_link_forms(at_hand, link_open=link_open),
        seldom=tuple(map(Way, seldom)),
    )
    for form in filter(None, (asked, bound)):
        every = every.instead(form)
    return every


def _link_forms(at_hand: AtHand, *, link_open: bool) -> tuple[ActForm, ...]:
    make = ACTS["link"](at_hand=at_hand)
    if not link_open:
        return (make,)
    make.button = gettext("Make a new link")
    return make, ACTS["withdraw_link"](at_hand=at_hand)


def _at_step(at_hand: AtHand, status: StageStatus, ahead: bool) -> StepForms:
    key, leaves = status.spec.key, Gate.HAND_OVER in status.spec.gates
    after = NEXT.get(status.next) if status.next and not leaves else None
    given = {"station": status.move_to.id} if status.move_to else {}
    coming = ACTS[after](at_hand=at_hand, stage=key, given=given) if after else None
    also = () if leaves else tuple(action for action in _others(status, ahead) if action != after)
    inline, seldom = (also, ()) if status.hands or ahead else ((), also)
    others = (ACTS[action](at_hand=at_hand, stage=key) for action in inline)
    tried = (ACTS[action](at_hand=at_hand, stage=key) for action in _tried(at_hand, status))
    shot = ShotForm(at_hand=at_hand, stage=key)
    return StepForms(
        key=key,
        leaves=leaves,
        next=coming,
        shot=shot,
        tried=tuple(tried),
        others=tuple(others),
        seldom=tuple(Way(action, key) for action in seldom),
    )


def _tried(at_hand: AtHand, status: StageStatus) -> Iterable[str]:
    """What can be said of a coat of this step that hands may try: it lies on top, and nobody sanded it."""
    top = at_hand.work.state.top(status.spec.surface) if status.spec.surface else None
    if top and top.stage == status.spec.key and not top.sanded_at and at_hand.work.tried_for(top):
        yield from ("tacky", "dry")


def _others(status: StageStatus, ahead: bool) -> Iterable[str]:
    """What can be recorded at a step beside what comes next; the rules have the last word on each."""
    spec, record = status.spec, status.record
    if record.started_at is None:
        yield "start"
        if not ahead:
            return
    if spec.coats:
        yield "coat"
        yield "sand"
    if record.rags_due_since or Gate.RAGS in spec.gates:
        yield "rags"
    yield "finish"


def _due(at_hand: AtHand, action: str) -> bool:
    """Whether what is recorded once a boat is still to be recorded."""
    if action == "survey":
        return any(Gate.SURVEY in status.spec.gates for status in at_hand.in_hand if status.record.started_at)
    return action == "lead_test" and at_hand.work.state.lead is None


def _worth_offering(at_hand: AtHand) -> Iterable[str]:
    is_open = [status for status in at_hand.statuses if at_hand.work.open(status.spec)]
    have = {
        "start": any(not status.record.started_at for status in is_open),
        "leave_out": bool(is_open),
        "put_back": any(status.record.left_out for status in at_hand.statuses),
    }
    return (action for action in BESIDE if have.get(action, True))
