"""The products that a new shop starts with. Hours, solids and films are such as labels give: from memory, to change."""

from typing import Any

from stages.engine.fumes import MINERAL_SPIRITS

GENERAL = "General information only. Local codes, the SDS and licensed professionals govern."
SOLVENT = "Solvent fumes: ventilate, keep flames and sparks away, wear gloves. Follow the label and the SDS. "
RAGS = (
    "Oil-wet rags can self-heat. Spread them flat outdoors to dry away from buildings, or keep them under water in a "
    "lidded metal can. Follow local fire code. "
)
FUMES = (
    "Preservative: let treated canvas air outdoors, ventilate, wear nitrile gloves, keep it off the skin and out of "
    "drains. Follow the product label. "
)


def in_spirits(solids_pct: float) -> dict[str, Any]:
    """Solids and solvent of a product that is all solids and mineral spirits, as fields of a product."""
    return {
        "solids_pct": solids_pct,
        "solvent_g_l": round((1 - solids_pct / 100) * 1000 * MINERAL_SPIRITS.density_kg_l),
        "solvent_density_kg_l": MINERAL_SPIRITS.density_kg_l,
        "solvent_molar_g": MINERAL_SPIRITS.molar_g,
        "solvent_lel_pct": MINERAL_SPIRITS.lel_pct,
        "solvent_source": MINERAL_SPIRITS.source,
    }


PRODUCTS: tuple[dict[str, Any], ...] = (
    {
        "name": "Boiled linseed oil, thinned",
        "kind": "oil",
        "usual": True,
        "oil_based": True,
        "self_heating": True,
        "family": "oxidative",
        "tack_free_h": 24,
        "recoat_h": 24,
        "topcoat_h": 48,
        "handle_h": 48,
        "colour": "#c9925a",
        **in_spirits(60),
        "caution": RAGS + SOLVENT + GENERAL,
    },
    {
        "name": "Oil varnish, thinned by half",
        "kind": "oil",
        "oil_based": True,
        "self_heating": True,
        "family": "oxidative",
        "tack_free_h": 6,
        "recoat_h": 16,
        "topcoat_h": 24,
        "handle_h": 24,
        "colour": "#c9925a",
        **in_spirits(33),
        "caution": RAGS + SOLVENT + GENERAL,
    },
    {
        "name": "Water-based sanding sealer",
        "kind": "sealer",
        "usual": True,
        "family": "water",
        "tack_free_h": 0.5,
        "recoat_h": 2,
        "topcoat_h": 4,
        "handle_h": 4,
        "window_h": 72,
        "lowest_c": 10,
        "colour": "#d6a064",
        "caution": "Ventilate and follow the label. " + GENERAL,
    },
    {
        "name": "Spar varnish, gloss, UV-protecting",
        "kind": "varnish",
        "usual": True,
        "oil_based": True,
        "sand_between": True,
        "uv_protecting": True,
        "self_heating": True,
        "family": "oxidative",
        "tack_free_h": 6,
        "sand_h": 18,
        "recoat_h": 18,
        "handle_h": 48,
        "colour": "#b8793a",
        "dry_film_um": 40,
        **in_spirits(50),
        "caution": RAGS + SOLVENT + GENERAL,
    },
    {
        "name": "Cotton duck, No. 10",
        "kind": "canvas",
        "usual": True,
        "colour": "#e9dfc6",
    },
    {
        "name": "Canvas preservative, copper naphthenate",
        "kind": "preservative",
        "usual": True,
        "dry_days_outdoors": 5,
        "family": "solvent",
        "tack_free_h": 12,
        "recoat_h": 24,
        "topcoat_h": 72,
        "handle_h": 48,
        "lowest_c": 0,
        "colour": "#b9bd92",
        **in_spirits(15),
        "caution": FUMES + SOLVENT + GENERAL,
    },
    {
        "name": "Latex canvas filler",
        "kind": "latex_filler",
        "usual": True,
        "smoothed_wet": True,
        "family": "water",
        "tack_free_h": 2,
        "recoat_h": 4,
        "topcoat_h": 48,
        "handle_h": 24,
        "lowest_c": 10,
        "colour": "#a9a79c",
        "caution": "Ventilate; keep it out of direct sun. " + GENERAL,
    },
    {
        "name": "Oil-based canvas filler",
        "kind": "oil_filler",
        "usual": True,
        "oil_based": True,
        "sand_between": True,
        "self_heating": True,
        "family": "oxidative",
        "tack_free_h": 72,
        "sand_h": 840,
        "recoat_h": 840,
        "topcoat_h": 840,
        "handle_h": 336,
        "colour": "#8f8f88",
        **in_spirits(70),
        "caution": RAGS + SOLVENT + "Silica dust when sanded: work wet or with extraction and a mask. " + GENERAL,
    },
    {
        "name": "High-build primer, alkyd",
        "kind": "primer",
        "usual": True,
        "oil_based": True,
        "sand_between": True,
        "family": "oxidative",
        "tack_free_h": 3,
        "sand_h": 16,
        "recoat_h": 16,
        "topcoat_h": 16,
        "handle_h": 16,
        "window_h": 336,
        "lowest_c": 7,
        "colour": "#d9dcd8",
        "dry_film_um": 60,
        **in_spirits(52),
        "caution": SOLVENT + "Sanding dust: extraction and a mask. " + GENERAL,
    },
    {
        "name": "One-part polyurethane enamel, gloss",
        "kind": "enamel",
        "usual": True,
        "oil_based": True,
        "sand_between": True,
        "family": "oxidative",
        "tack_free_h": 4,
        "sand_h": 16,
        "recoat_h": 16,
        "handle_h": 48,
        "lowest_c": 7,
        "dry_film_um": 40,
        **in_spirits(50),
        "caution": SOLVENT + GENERAL,
    },
)
