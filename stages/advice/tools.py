"""Tools that the work takes: common practice, no published source."""

from hulls.wording import gettext_noop
from stages.advice.job import (
    Asked,
    Job,
    always,
    brushes,
    canvases,
    counted,
    fills,
    of_kind,
    old_finish,
    sands,
    self_heating,
    strips,
)
from stages.engine.vocab import Damage, ProductKind

TOOLS: tuple[tuple[Asked, str], ...] = (
    (always, gettext_noop("Two padded stands or slings for the hull, thermometer and hygrometer")),
    (old_finish, gettext_noop("Lead test, goggles, gloves, a mask that suits the dust, drop cloths")),
    (strips, gettext_noop("Scrapers, stiff brushes, a bucket with a lid for what comes off")),
    (canvases, gettext_noop("Screwdrivers, tack lifter and pliers for keel, bands, outwales and old canvas")),
    (
        counted(Damage.RIBS, Damage.STEMS, Damage.INWALES, Damage.OUTWALES),
        gettext_noop("Steam box with a kettle or burner, clamps, plane, spokeshave, fine saw"),
    ),
    (
        counted(Damage.RIBS, Damage.PLANKS),
        gettext_noop("Tack hammer and clenching iron, knife, block plane"),
    ),
    (counted(Damage.STEMS, Damage.DECKS), gettext_noop("Chisels, drill, clamps, glue brush")),
    (canvases, gettext_noop("Moisture meter for the wood")),
    (
        canvases,
        gettext_noop("Two canvas clamps as wide as the cloth, a hand winch, two strong posts, webbing or rope"),
    ),
    (canvases, gettext_noop("Canvas pliers, tack hammer, sharp knife, long straight edge")),
    (fills, gettext_noop("Short stiff brush, wide knife, and a canvas mitt or a trowel to rub the filler in")),
    (of_kind(ProductKind.PRESERVATIVE), gettext_noop("A cheap wide brush and a place outdoors under no trees")),
    (sands, gettext_noop("Sanding blocks, a soft long board, a vacuum cleaner that takes fine dust")),
    (brushes, gettext_noop("Brushes or foam rollers that suit each product, paper filters, mixing cups, a tack cloth")),
    (self_heating, gettext_noop("A lidded metal can with water for the rags")),
    (counted(Damage.SEATS), gettext_noop("Cane pegs, an awl, a bucket to soak the cane")),
)


def tools_for(job: Job) -> tuple[str, ...]:
    """Give the tools of a job in the order in which they are taken up."""
    return tuple(tool for asked, tool in TOOLS if asked(job))
