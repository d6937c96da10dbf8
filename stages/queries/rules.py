"""The rule book: what the engine holds, and what the shop's route asks for and warns of."""

from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from hulls.models import Filler, InsideVarnish
from shop.models import ProductKind, StationKind
from stages.engine.findings import Rule
from stages.engine.route import StageSpec, When
from stages.engine.rules import RULES
from stages.engine.vocab import Action, Severity
from stages.models import Condition, Damage, Route, Surface
from stages.queries.routes import engine_route

ACTIONS = {
    Action.START: gettext_noop("starting a step"),
    Action.COAT: gettext_noop("putting a coat on"),
    Action.SAND: gettext_noop("sanding"),
    Action.FINISH: gettext_noop("finishing a step"),
    Action.MOVE: gettext_noop("moving the hull"),
    Action.RAGS: gettext_noop("dealing with rags"),
    Action.LEAVE_OUT: gettext_noop("leaving a step out"),
}
BITES = {
    Severity.REFUSES: gettext_noop("Refuses. Only the shop’s owner may go ahead, with a reason that stays on record."),
    Severity.WARNS: gettext_noop("Warns. The work may go ahead."),
    Severity.CAUTIONS: gettext_noop("Cautions. The work may go ahead."),
}
NEVER = gettext_noop("Refuses, for safety. Never overridden by anybody, only met.")
CHOICES = {"filler": Filler, "inside": InsideVarnish}
CHOSEN = {"filler": gettext_noop("where the filler is %(value)s"), "inside": gettext_noop("varnish inside %(value)s")}


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleEntry:
    """One rule of the engine, in words."""

    id: str
    title: str
    holds: str
    bites: str
    safety: bool
    actions: str
    reason: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageEntry:
    """One stage of the route, in words."""

    name: str
    asks: tuple[str, ...]
    after: str
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteEntry:
    """The route version that new hulls take."""

    name: str
    version: int
    stages: tuple[StageEntry, ...]


def rules_in_words() -> tuple[RuleEntry, ...]:
    """Every rule of the engine, those of safety first."""
    return tuple(_rule(rule) for rule in sorted(RULES, key=lambda rule: not rule.safety))


def route_in_words() -> RouteEntry | None:
    """The route version that new hulls take; None before one is published."""
    row = Route.objects.filter(current=True).first()
    if row is None:
        return None
    route = engine_route(row)
    names = {spec.key: spec.name for spec in route.stages}
    return RouteEntry(name=row.name, version=row.version, stages=tuple(_stage(spec, names) for spec in route.stages))


def _rule(rule: Rule) -> RuleEntry:
    return RuleEntry(
        id=rule.id,
        title=_(rule.title),
        holds=_(rule.holds),
        bites=_(NEVER if rule.safety else BITES[rule.severity]),
        safety=rule.safety,
        actions=str(capfirst(", ".join(_(ACTIONS[action]) for action in Action if action in rule.actions))),
        reason=_(rule.reason),
        source=str(capfirst(_(rule.source))),
    )


def _stage(spec: StageSpec, names: dict[str, str]) -> StageEntry:
    asks = [_only(spec.when)]
    if spec.station:
        asks.append(_("at the %(station)s") % {"station": StationKind(spec.station).label})
    if spec.coats and spec.product and spec.surface:
        gaps = {"n": spec.coats, "what": ProductKind(spec.product).label, "where": Surface(spec.surface).label}
        text = ngettext("%(n)s coat of %(what)s: %(where)s", "%(n)s coats of %(what)s: %(where)s", spec.coats)
        asks.append(text % gaps)
    return StageEntry(
        name=spec.name,
        asks=tuple(capfirst(ask) for ask in asks if ask),
        after=", ".join(names[key] for key in names if key in spec.after),
        caution=spec.caution,
    )


def _only(when: When) -> str:
    match when.about:
        case "count":
            return _("where the survey counts %(what)s") % {"what": Damage(when.name).label}
        case "condition":
            gaps = {"where": Surface(when.name).label, "how": Condition(when.value).label}
            return _("where the old finish is %(how)s: %(where)s") % gaps
        case "choice" if when.name in CHOICES and when.value in CHOICES[when.name].values:
            return _(CHOSEN[when.name]) % {"value": CHOICES[when.name](when.value).label}
        case "choice":
            return f"{when.name}: {when.value}"
    return ""
