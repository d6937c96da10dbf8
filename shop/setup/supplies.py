"""What else a new shop keeps on its shelves: generic names, and values from memory, for the shop to change."""

from typing import Any

from django.utils.translation import gettext_noop

from shop.setup.products import GENERAL, SOLVENT

DUST = "Sanding dust: extraction and a mask. "
STRIPPING = "Strippers burn skin and eyes: goggles, gloves that the SDS names, ventilate. Old paint may hold lead. "
ABRASIVES = (
    (80, gettext_noop("Abrasive sheet, grit 80")),
    (120, gettext_noop("Abrasive sheet, grit 120")),
    (220, gettext_noop("Abrasive sheet, grit 220")),
    (320, gettext_noop("Abrasive sheet, grit 320")),
)
SUPPLIES: tuple[dict[str, Any], ...] = (
    {
        "name": gettext_noop("Waterproof wood glue, one-part"),
        "kind": "glue",
        "usual": True,
        "chemistry": "polyvinyl acetate, cross-linking",
        "spread_m2_per_unit": 6.0,
        "shelf_life_days": 365,
        "opened_life_days": 365,
        "caution": "Keep it off the skin. " + GENERAL,
    },
    {
        "name": gettext_noop("Epoxy, two-part, both parts together"),
        "kind": "glue",
        "chemistry": "epoxy",
        "shelf_life_days": 730,
        "opened_life_days": 365,
        "caution": "Uncured epoxy sensitises skin: gloves, ventilate; a full pot heats itself. " + GENERAL,
    },
    {
        "name": gettext_noop("Bedding compound"),
        "kind": "bedding",
        "usual": True,
        "chemistry": "linseed oil and chalk",
        "shelf_life_days": 1095,
        "opened_life_days": 730,
    },
    {
        "name": gettext_noop("Brass canoe tacks, 5/8 in"),
        "kind": "tacks",
        "unit": "kg",
        "length_mm": 15.875,
        "pieces_per_kg": 1300.0,
    },
    {
        "name": gettext_noop("Brass canoe tacks, 3/4 in"),
        "kind": "tacks",
        "usual": True,
        "unit": "kg",
        "length_mm": 19.05,
        "pieces_per_kg": 1000.0,
    },
    {
        "name": gettext_noop("Silicon-bronze screws, No. 6 x 1 in"),
        "kind": "fastenings",
        "usual": True,
        "unit": "pc",
        "length_mm": 25.4,
    },
    *(
        {
            "name": name,
            "kind": "abrasive",
            "usual": grit == 220,
            "unit": "pc",
            "grit": grit,
            "caution": DUST + GENERAL,
        }
        for grit, name in ABRASIVES
    ),
    {
        "name": gettext_noop("Mineral spirits"),
        "kind": "solvent",
        "usual": True,
        "chemistry": "petroleum distillate",
        "caution": SOLVENT + GENERAL,
    },
    {
        "name": gettext_noop("Paint and varnish stripper"),
        "kind": "stripper",
        "usual": True,
        "chemistry": "benzyl alcohol",
        "spread_m2_per_unit": 4.0,
        "shelf_life_days": 730,
        "opened_life_days": 365,
        "caution": STRIPPING + GENERAL,
    },
    {
        "name": gettext_noop("Wood cleaner and brightener, two-part"),
        "kind": "cleaner",
        "usual": True,
        "chemistry": "caustic, then oxalic acid",
        "spread_m2_per_unit": 8.0,
        "caution": "Burns skin and eyes: goggles and gloves; never mix the two parts. " + GENERAL,
    },
    {"name": gettext_noop("Cotton rags"), "kind": "rags", "usual": True, "unit": "kg", "counted": False},
    {"name": gettext_noop("Nitrile gloves, pair"), "kind": "gloves", "usual": True, "unit": "pc", "counted": False},
    {"name": gettext_noop("Paint strainer, fine"), "kind": "filter", "usual": True, "unit": "pc", "counted": False},
    {"name": gettext_noop("White cedar, rib stock"), "kind": "timber", "usual": True, "unit": "m", "part": "ribs"},
    {"name": gettext_noop("White cedar, planking stock"), "kind": "timber", "unit": "m2", "part": "planks"},
    {"name": gettext_noop("Ash, outwale stock"), "kind": "timber", "unit": "m", "part": "outwales"},
    {"name": gettext_noop("Ash, stem and thwart stock"), "kind": "timber", "unit": "m", "part": "stems"},
    {"name": gettext_noop("Spruce, inwale stock"), "kind": "timber", "unit": "m", "part": "inwales"},
    {"name": gettext_noop("Hardwood, deck stock"), "kind": "timber", "unit": "m2", "part": "decks"},
    {"name": gettext_noop("Cane, binder and strand, one seat"), "kind": "cane", "usual": True, "unit": "pc"},
    {"name": gettext_noop("Stem band, brass, half-oval 3/8 in"), "kind": "other", "usual": True, "unit": "m"},
)
