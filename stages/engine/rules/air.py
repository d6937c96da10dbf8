"""Air: air and surface within the product's range, now and through the coat's first hours as they are expected."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Degrees, Finding, Rule, Words, say
from stages.engine.paintair import AirLimits, Hindrance, PaintAir, clears_at, first_hindrance, paint_air
from stages.engine.products import Product
from stages.engine.rulebook import find
from stages.engine.vocab import Action, Severity
from stages.engine.work import Work

NOW = {
    Hindrance.COLD: gettext_noop("It is %(air)s, and %(product)s wants at least %(limit)s."),
    Hindrance.HOT: gettext_noop("It is %(air)s, and %(product)s wants at most %(limit)s."),
    Hindrance.DAMP: gettext_noop("The air holds %(rh)s %% humidity, and %(product)s wants at most %(limit)s %%."),
    Hindrance.DEW: gettext_noop("The surface is only %(margin)s above the dew point; %(limit)s is the least."),
}
AHEAD = {
    Hindrance.COLD: gettext_noop("In its first hours the air is expected to fall to %(air)s; %(limit)s is the least."),
    Hindrance.HOT: gettext_noop("In its first hours the air is expected to rise to %(air)s; %(limit)s is the most."),
    Hindrance.DAMP: gettext_noop("In its first hours %(rh)s %% humidity is expected; %(limit)s %% is the most."),
    Hindrance.DEW: gettext_noop(
        "In its first hours the surface is expected only %(margin)s above the dew point; %(limit)s is the least."
    ),
}


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.product is None or ask.product.label is None or ask.zone is None:
        return None
    log = work.world.air.get(ask.zone)
    read_at = log.last_read(ask.at) if log else None
    if log is None or read_at is None:
        return _unread()
    unread, limits = log.air_at(ask.at).assumed, ask.product.air
    met = paint_air(log, ask.at, limits)
    hindered = met if met.hindrances else first_hindrance(log, ask.at, limits)
    if hindered is None:
        return _unread() if unread else None
    ahead = unread or not met.hindrances
    what = _words(hindered, ask.product, limits, ahead=ahead)
    words = say(gettext_noop("%(what)s Last read: %(read_at)s."), what=what, read_at=read_at)
    clears = say(gettext_noop("Warm or dry the room, or wait for better air."))
    return find(RULE, words, clears, earliest=clears_at(log, ask.at, limits))


def _unread() -> Finding:
    return find(
        RULE,
        say(gettext_noop("Nobody has read the air here for hours.")),
        say(gettext_noop("Read the thermometer and the hygrometer, and record it under Air.")),
        severity=Severity.WARNS,
    )


def _words(air: PaintAir, product: Product, limits: AirLimits, *, ahead: bool) -> Words:
    hindrance = air.hindrances[0]
    limit: dict[Hindrance, object] = {
        Hindrance.COLD: Degrees(celsius=limits.lowest_c),
        Hindrance.HOT: Degrees(celsius=limits.highest_c),
        Hindrance.DAMP: f"{limits.most_rh_pct:.0f}",
        Hindrance.DEW: Degrees(celsius=limits.margin_c, apart=True),
    }
    return say(
        (AHEAD if ahead else NOW)[hindrance],
        product=product.name,
        air=Degrees(celsius=air.air_c if hindrance is not Hindrance.COLD else min(air.air_c, air.surface_c)),
        rh=f"{air.rh_pct:.0f}",
        margin=Degrees(celsius=air.margin_c, apart=True),
        limit=limit[hindrance],
    )


RULE = Rule(
    id="air",
    title=gettext_noop("Air"),
    holds=gettext_noop(
        "Air and surface are within the product's range, and the surface at least 3 °C above the dew point, now and "
        "through the coat's first four hours as they are expected."
    ),
    actions=frozenset({Action.COAT}),
    reason=gettext_noop("On a cold or damp surface a coat takes dew, turns dull, stays soft or lets go."),
    source="MIL-HDBK-1110 section 9.6.6 for the dew-point margin (5 °F) and the hours; the range from the label",
    check=_check,
    standing=False,
)
