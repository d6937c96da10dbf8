"""What can hurt whoever does the work, said before it does. Fixed words: no answer makes a caution milder.

The words are the usual ones of labels and safety data sheets, in short. They defer to the product's label, its safety
data sheet (SDS), local codes and licensed practice.
"""

from dataclasses import dataclass

from hulls.wording import gettext_noop
from stages.advice.job import Asked, Job, canvases, counted, of_kind, old_finish, sands, self_heating, solvents, strips
from stages.engine.vocab import Damage, ProductKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One danger: its name and what to do."""

    key: str
    title: str
    text: str


CAUTIONS: tuple[tuple[Asked, Caution], ...] = (
    (
        old_finish,
        Caution(
            key="lead",
            title=gettext_noop("Lead"),
            text=gettext_noop(
                "Older paint, varnish and canvas filler may contain lead. Test before you disturb it. Never sand, "
                "scrape or heat it dry; work wet, keep children and pregnant women away, keep the dust off clothes and "
                "out of the house. Where the test is positive, ask the local authority who may do the work."
            ),
        ),
    ),
    (
        strips,
        Caution(
            key="strippers",
            title=gettext_noop("Strippers and cleaners"),
            text=gettext_noop(
                "They burn skin and eyes, and some of their vapours poison. Gloves that suit the product, goggles, "
                "much fresh air; never two of them mixed. Keep to the label and the SDS."
            ),
        ),
    ),
    (
        self_heating,
        Caution(
            key="rags",
            title=gettext_noop("Oily rags take fire by themselves"),
            text=gettext_noop(
                "Rags, steel wool and sanding dust wet with oil, varnish or oil-based filler heat up in a heap. Spread "
                "them flat outdoors to dry away from buildings, or keep them under water in a lidded metal can. Follow "
                "the local fire code."
            ),
        ),
    ),
    (
        solvents,
        Caution(
            key="solvents",
            title=gettext_noop("Solvents"),
            text=gettext_noop(
                "Their vapour harms and burns, and runs along the floor to the pilot light. Fresh air through the "
                "whole room until it is dry, no flame, spark or heater, gloves, and the respirator that the SDS names."
            ),
        ),
    ),
    (
        of_kind(ProductKind.PRESERVATIVE),
        Caution(
            key="preservative",
            title=gettext_noop("Preservative"),
            text=gettext_noop(
                "It is a poison to rot, and not only to rot. Put it on outdoors, let the canvas air outdoors, nitrile "
                "gloves, off the skin, out of drains and water. Never burn what was treated. The label has the force "
                "of law in many places."
            ),
        ),
    ),
    (
        sands,
        Caution(
            key="dust",
            title=gettext_noop("Dust"),
            text=gettext_noop(
                "Cedar dust can cause asthma, and the dust of filler may hold silica. Extraction at the tool, a mask "
                "that suits the dust, wet sanding where the product allows it; sweep nothing dry."
            ),
        ),
    ),
    (
        counted(Damage.RIBS, Damage.STEMS, Damage.OUTWALES, Damage.INWALES),
        Caution(
            key="steam",
            title=gettext_noop("Steam"),
            text=gettext_noop("Steam, boiling water and the wood out of it scald. Long gloves, and a box that vents."),
        ),
    ),
    (
        canvases,
        Caution(
            key="tension",
            title=gettext_noop("Canvas under tension, and tacks"),
            text=gettext_noop(
                "A clamp that slips flies: stand clear of the line of pull. Old tacks fly and cut: goggles and gloves."
            ),
        ),
    ),
)


def cautions_for(job: Job) -> tuple[Caution, ...]:
    """Give the cautions of a job, the worst first."""
    return tuple(caution for asked, caution in CAUTIONS if asked(job))
