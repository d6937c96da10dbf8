"""The full route for wood and canvas, in the trade's order. Hours are common practice, no published source."""

from typing import Any

from django.db import transaction
from django.utils.translation import gettext_noop

from shop.models import Skill
from shop.setup.products import FUMES, GENERAL, RAGS, SOLVENT
from stages.models import Route, RouteStage
from stages.services.arrival import publish_route

NAME = "Wood and canvas"
DUST = "Wood dust: extraction at the tool and a mask that suits it; cedar dust can cause asthma. "
LEAD = (
    "Older paint, varnish and canvas filler may contain lead. Test before disturbing it, keep children away, never "
    "sand or heat it dry. "
)
STRIPPER = "Strippers burn skin and eyes: gloves, goggles, much air. "
CLEANERS = "Cleaners and bleaches burn skin and eyes: gloves, goggles, and never two of them mixed. "
TACKS = "Old tacks fly and cut: eye protection, gloves. "

# What not everybody does, by the station where it is done. Common practice, no published source.
SKILLS = {"wood": "Wood", "canvas": "Canvas", "finishing": "Finishing"}
# What changes a boat in its owner's eyes. Common practice, no published source.
MILESTONES = frozenset(
    {"survey", "uncanvas", "canvas", "fill_latex", "fill_oil", "enamel", "brightwork", "hand_over"}
    | {"varnish_inside_before", "varnish_inside_after"}
)
REPAIRS = ("ribs", "planking", "stems", "inwales", "decks")


def _stage(key: str, name: str, after: str, station: str = "", **more: Any) -> dict[str, Any]:
    return {"key": key, "name": name, "after": after.split(), "station_kind": station, **more}


def _repair(
    key: str, name: str, counted: str, hours_each: float, words: str, gates: tuple[str, ...] = ()
) -> dict[str, Any]:
    return _stage(
        key,
        name,
        "wash",
        "wood",
        when=f"count:{counted}",
        counted=counted,
        hours_each=hours_each,
        hours_fixed=0.5,
        owner_words=words,
        gates=list(gates),
        caution=LEAD + DUST + "Steam and hot ribs scald: gloves. " + GENERAL,
    )


def _inside(when: str, after_seal: str) -> list[dict[str, Any]]:
    """The inside finish, which shops do before or after the canvas."""
    common = {"when": f"choice:inside={when}", "surface": "inside"}
    return [
        _stage(
            f"seal_inside_{when}",
            gettext_noop("Seal the inside"),
            after_seal,
            "finishing",
            product_kind="sealer",
            coats=3,
            hours_fixed=1,
            hours_per_m2=0.5,
            owner_words=gettext_noop("The inside is being sealed."),
            caution="Ventilate and follow the label. " + GENERAL,
            **common,
        ),
        _stage(
            f"varnish_inside_{when}",
            gettext_noop("Varnish the inside"),
            f"seal_inside_{when}",
            "finishing",
            product_kind="varnish",
            coats=2,
            hours_fixed=1,
            hours_per_m2=0.6,
            gates=["rags"],
            owner_words=gettext_noop("The inside is being varnished."),
            caution=RAGS + SOLVENT + DUST + GENERAL,
            **common,
        ),
    ]


def _fill(kind: str, name: str, coats: int, caution: str) -> dict[str, Any]:
    return _stage(
        f"fill_{kind}",
        name,
        "preserve",
        "filler",
        when=f"choice:filler={kind}",
        product_kind=f"{kind}_filler",
        surface="skin",
        coats=coats,
        hours_fixed=1,
        hours_per_m2=0.7,
        owner_words=gettext_noop("The weave of the canvas is being filled."),
        caution=caution + GENERAL,
    )


STAGES: list[dict[str, Any]] = [
    _stage(
        "survey",
        gettext_noop("Survey and photos"),
        "",
        gates=["survey"],
        hours_fixed=1.5,
        owner_words=gettext_noop("We are looking your boat over."),
    ),
    _stage(
        "estimate",
        gettext_noop("Estimate approved"),
        "survey",
        gates=["approved"],
        hours_fixed=0.5,
        owner_words=gettext_noop("We wait for your yes to the estimate."),
    ),
    _stage(
        "unfit",
        gettext_noop("Fittings, keel, stem bands and outwales off"),
        "estimate",
        "strip",
        hours_fixed=3.5,
        owner_words=gettext_noop("Fittings, keel and outwales are coming off."),
        caution=LEAD + TACKS + GENERAL,
    ),
    _stage(
        "uncanvas",
        gettext_noop("Old canvas off"),
        "unfit",
        "strip",
        strips="skin",
        gates=["lead"],
        hours_fixed=2,
        owner_words=gettext_noop("The old canvas is coming off."),
        caution=LEAD + TACKS + GENERAL,
    ),
    _stage(
        "strip_inside",
        gettext_noop("Old finish off inside"),
        "unfit",
        "strip",
        strips="inside",
        gates=["lead"],
        hours_fixed=2,
        hours_per_m2=1.2,
        owner_words=gettext_noop("The old varnish inside is coming off."),
        caution=LEAD + STRIPPER + GENERAL,
    ),
    _stage(
        "strip_brightwork",
        gettext_noop("Old finish off the brightwork"),
        "unfit",
        "strip",
        when="condition:brightwork=flaking",
        strips="brightwork",
        gates=["lead"],
        hours_fixed=4,
        owner_words=gettext_noop("The old varnish on seats, decks and thwarts is coming off."),
        caution=LEAD + STRIPPER + DUST + GENERAL,
    ),
    _stage(
        "wash",
        gettext_noop("Wash and dry"),
        "uncanvas strip_inside strip_brightwork",
        "strip",
        strips="planking",
        gates=["lead"],
        hours_fixed=2,
        owner_words=gettext_noop("The bare hull is washed and is drying."),
        caution=LEAD + CLEANERS + GENERAL,
    ),
    _repair("ribs", gettext_noop("Ribs"), "ribs", 1.5, gettext_noop("Broken ribs are being replaced.")),
    _repair("planking", gettext_noop("Planking"), "planks", 1.0, gettext_noop("Broken planking is being replaced.")),
    _repair("stems", gettext_noop("Stems"), "stems", 4.0, gettext_noop("The stems are being mended."), ("glue",)),
    _repair(
        "inwales", gettext_noop("Inwales"), "inwales", 3.0, gettext_noop("The inwales are being mended."), ("glue",)
    ),
    _repair("decks", gettext_noop("Decks"), "decks", 3.0, gettext_noop("The decks are being mended."), ("glue",)),
    _stage(
        "fair",
        gettext_noop("Fair the hull and set the tacks"),
        "wash " + " ".join(REPAIRS),
        "wood",
        hours_fixed=2,
        hours_per_m2=1.0,
        owner_words=gettext_noop("The hull is being made fair."),
        caution=LEAD + DUST + GENERAL,
    ),
    *_inside("before", "fair"),
    _stage(
        "oil",
        gettext_noop("Oil the outside of the bare hull"),
        "fair varnish_inside_before",
        "finishing",
        product_kind="oil",
        surface="planking",
        coats=1,
        gates=["rags"],
        hours_fixed=1.5,
        owner_words=gettext_noop("The bare planking is being oiled."),
        caution=RAGS + SOLVENT + GENERAL,
    ),
    _stage(
        "canvas",
        gettext_noop("Stretch and tack the canvas"),
        "oil",
        "canvas",
        product_kind="canvas",
        surface="skin",
        coats=1,
        needs_surface="planking",
        needs_dryness="handle",
        hours_fixed=6,
        owner_words=gettext_noop("The new canvas is being stretched."),
        caution="Clamps under tension: stand clear of the line of pull. " + TACKS + GENERAL,
    ),
    _stage(
        "preserve",
        gettext_noop("Preservative, outdoors, and off-gassing"),
        "canvas",
        "yard",
        product_kind="preservative",
        surface="skin",
        coats=1,
        hours_fixed=1,
        owner_words=gettext_noop("The canvas is treated against rot and airs outdoors."),
        caution=FUMES + SOLVENT + GENERAL,
    ),
    _fill("latex", gettext_noop("Fill with latex filler"), 3, "Ventilate. "),
    _fill("oil", gettext_noop("Fill with oil-based filler"), 2, RAGS + SOLVENT),
    _stage(
        "prime",
        gettext_noop("Prime"),
        "fill_latex fill_oil",
        "finishing",
        product_kind="primer",
        surface="skin",
        coats=2,
        hours_fixed=1,
        hours_per_m2=0.6,
        owner_words=gettext_noop("The primer is going on."),
        caution=SOLVENT + DUST + GENERAL,
    ),
    _stage(
        "enamel",
        gettext_noop("Enamel"),
        "prime",
        "finishing",
        product_kind="enamel",
        surface="skin",
        coats=3,
        hours_fixed=1.5,
        hours_per_m2=0.9,
        owner_words=gettext_noop("The paint is going on."),
        caution=SOLVENT + DUST + GENERAL,
    ),
    *_inside("after", "enamel"),
    _stage(
        "refit",
        gettext_noop("Outwales, keel and stem bands on, in bedding"),
        "enamel varnish_inside_after",
        "trim",
        needs_surface="skin",
        needs_dryness="handle",
        hours_fixed=5,
        hours_each=2.0,
        counted="outwales",
        owner_words=gettext_noop("Outwales, keel and stem bands are going back on."),
        gates=["rags"],  # bedding is often bound with linseed oil
        caution=RAGS + DUST + SOLVENT + GENERAL,
    ),
    _stage(
        "brightwork",
        gettext_noop("Varnish the brightwork"),
        "refit",
        "finishing",
        product_kind="varnish",
        surface="brightwork",
        coats=3,
        gates=["rags"],
        hours_fixed=4,
        owner_words=gettext_noop("Gunwales, decks and thwarts are being varnished."),
        caution=RAGS + SOLVENT + DUST + GENERAL,
    ),
    _stage(
        "seats",
        gettext_noop("Seats caned or refitted"),
        "brightwork",
        "trim",
        hours_fixed=1,
        hours_each=4.0,
        counted="seats",
        owner_words=gettext_noop("The seats are going back in."),
    ),
    _stage(
        "final",
        gettext_noop("Final check and photos"),
        "seats",
        hours_fixed=1,
        needs_surface="brightwork",
        needs_dryness="handle",
        owner_words=gettext_noop("We are checking every last thing."),
    ),
    _stage(
        "hand_over",
        gettext_noop("Hand-over"),
        "final",
        gates=["hand_over"],
        hours_fixed=0.5,
        owner_words=gettext_noop("Your boat is ready for you."),
    ),
]


@transaction.atomic
def load_route() -> Route:
    """Write the full route as version 1 and publish it, unless the shop has a route of that name."""
    if held := Route.objects.filter(name=NAME).first():
        return held
    route = Route.objects.create(name=NAME)
    skills = {kind: Skill.objects.get_or_create(name=name)[0] for kind, name in SKILLS.items()}
    made = {
        values["key"]: RouteStage(
            route=route,
            position=position * 10,
            skill=skills.get(values["station_kind"]),
            milestone=values["key"] in MILESTONES,
            **{name: value for name, value in values.items() if name != "after"},
        )
        for position, values in enumerate(STAGES, start=1)
    }
    RouteStage.objects.bulk_create(made.values())
    waits = RouteStage.after.through
    waits.objects.bulk_create(
        waits(from_routestage=made[values["key"]], to_routestage=made[before])
        for values in STAGES
        for before in values["after"]
    )
    publish_route(route=route)
    return route
