"""Topped: a water-based sealer is covered by a UV-protecting gloss varnish before hand-over."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, say
from stages.engine.rulebook import COMMON_PRACTICE, find
from stages.engine.vocab import Action, Gate, ProductKind, Surface
from stages.engine.work import Work


def _bare_sealer(work: Work, surface: Surface) -> bool:
    products = [work.product(coat) for coat in work.state.stack(surface)]
    sealers = [i for i, product in enumerate(products) if product.kind is ProductKind.SEALER and not product.oil_based]
    return bool(sealers) and not any(product.uv_protecting for product in products[sealers[-1] + 1 :])


def _check(work: Work, ask: Ask) -> Finding | None:
    if ask.stage is None or Gate.HAND_OVER not in ask.stage.gates:
        return None
    if not any(_bare_sealer(work, surface) for surface in (Surface.BRIGHTWORK, Surface.INSIDE)):
        return None
    return find(
        RULE,
        say(gettext_noop("A water-based sealer lies open to the sun on this boat.")),
        say(gettext_noop("Cover it with a UV-protecting gloss varnish.")),
    )


RULE = Rule(
    id="topped",
    title=gettext_noop("Topped"),
    holds=gettext_noop("A water-based sealer is covered by a UV-protecting gloss varnish before hand-over."),
    actions=frozenset({Action.FINISH}),
    reason=gettext_noop("A clear water-based sealer has no guard against sunlight and lets go within a season."),
    source=COMMON_PRACTICE,
    check=_check,
)
