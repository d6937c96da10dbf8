"""Solvent vapour in a zone: how much of the lower explosive limit today's pots may come to, and the air it takes.

A reckoning for planning, never a measurement: it takes the zone's air as well mixed, while vapour gathers low and near
the work. Limits for health lie far below the explosive limit.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from hulls.wording import gettext_noop
from stages.engine.air import ZERO_C_K
from stages.engine.cure import GAS_CONSTANT
from stages.engine.errors import EngineError
from stages.engine.findings import Words, say

ATMOSPHERE_PA = 101325.0
ROOM_C = 21.1  # 70 °F, at which the tables of vapour volume stand
LEL_SHARE_LIMIT = 0.10  # WAC 296-304-03009 (shipyard painting); spray areas under NFPA 33: 25 % (secondary source)
MIXING = 5.0  # K, from 1 (well mixed) to 10 in the dilution formula; 5 stands in its worked example
_OVER = gettext_noop(
    "Today's pots can make %(vapour_m3)s m³ of vapour: %(share_pct)s %% of the lower explosive limit if none of it "
    "leaves, over the %(limit_pct)s %% to stay under. It takes about %(changes)s changes of air an hour to keep under "
    "it. Limits for health lie far lower. No flames, no sparks. "
    "General information only. Local codes, the SDS and licensed professionals govern."
)
_UNDER = gettext_noop(
    "Today's pots can make %(vapour_m3)s m³ of vapour: %(share_pct)s %% of the lower explosive limit if none of it "
    "leaves, under the %(limit_pct)s %% to stay under. Air the zone all the same, about %(changes)s changes an hour: "
    "limits for health lie far lower. No flames, no sparks. "
    "General information only. Local codes, the SDS and licensed professionals govern."
)


@dataclass(slots=True, frozen=True, kw_only=True)
class Solvent:
    """A solvent as its safety data sheet gives it.

    Parameters
    ----------
    density_kg_l : float
        Density of the liquid, kg/L.
    molar_g : float
        Molar mass, g/mol.
    lel_pct : float
        Lower explosive limit, % of the air's volume. Sources differ: keep the source beside the value.
    source : str
        Where the values come from.
    """

    density_kg_l: float
    molar_g: float
    lel_pct: float
    source: str

    def __post_init__(self) -> None:
        if not 0.4 <= self.density_kg_l <= 2.0:
            raise EngineError("density_kg_l", f"{self.density_kg_l} kg/L cannot be the density of a solvent.")
        if not 15.0 <= self.molar_g <= 400.0:
            raise EngineError("molar_g", f"{self.molar_g} g/mol cannot be the molar mass of a solvent.")
        if not 0.1 <= self.lel_pct <= 50.0:
            raise EngineError("lel_pct", f"{self.lel_pct} % cannot be a lower explosive limit.")


@dataclass(slots=True, frozen=True, kw_only=True)
class UsedPot:
    """What was used of one pot: its litres, the share of its volume that is solvent, and the solvent."""

    litres: float
    solvent_share: float
    solvent: Solvent

    def __post_init__(self) -> None:
        if not 0.0 <= self.litres <= 1000.0:
            raise EngineError("litres", f"{self.litres} L cannot be what a shop uses of a pot.")
        if not 0.0 <= self.solvent_share <= 1.0:
            raise EngineError("solvent_share", "The solvent must be a share from 0 to 1 of the pot.")

    @property
    def solvent_l(self) -> float:
        """Give the liquid solvent, litres."""
        return self.litres * self.solvent_share


def vapour_l_per_l(solvent: Solvent, air_c: float = ROOM_C) -> float:
    """Give the vapour, litres, that a litre of liquid makes: ideal gas at one atmosphere."""
    molar_l = GAS_CONSTANT * (air_c + ZERO_C_K) / ATMOSPHERE_PA * 1000.0
    return 1000.0 * solvent.density_kg_l / solvent.molar_g * molar_l


def lel_g_m3(lel_pct: float, molar_g: float, molar_volume_l: float) -> float:
    """Give the vapour's mass at the lower explosive limit, g/m³."""
    return lel_pct / 100.0 * molar_g / molar_volume_l * 1000.0


def air_to_stay_under_m3(vapour_m3: float, lel_pct: float, share: float) -> float:
    """Give the air that takes up a volume of vapour at a share of the lower explosive limit, m³.

    Source: 29 CFR 1910.94(c)(6)(ii), V = 4 (100 - LEL) vapour / LEL for a quarter of the limit (form from memory).
    """
    _check_share_of_lel(share)
    return vapour_m3 * (100.0 - lel_pct) / (lel_pct * share)


def dilution_m3_h(vapour_m3_h: float, limit_ppm: float, mixing: float = MIXING) -> float:
    """Give the fresh air, m³/h, that holds a steady vapour at a limit in ppm: Q = 1e6 K vapour / C."""
    if not 0.0 < limit_ppm <= 1e6:
        raise EngineError("limit_ppm", "The limit must be over 0 and up to a million parts per million.")
    if not 1.0 <= mixing <= 10.0:
        raise EngineError("mixing", "The mixing factor runs from 1 to 10.")
    return vapour_m3_h * mixing * 1e6 / limit_ppm


@dataclass(slots=True, frozen=True, kw_only=True)
class Fumes:
    """What today's pots may come to in a zone.

    Parameters
    ----------
    vapour_m3 : float
        Vapour of all solvent used, m³.
    vapour_pct : float
        Share of the zone's air if none of it leaves, % of volume.
    lel_share : float
        That over the lower explosive limit; mixtures by the sum of their shares (Le Chatelier).
    air_changes_per_h : float
        Changes of the zone's air each hour that keep it under the limit while the vapour comes off.
    over : bool
        Without any air change the limit would be passed.
    """

    vapour_m3: float
    vapour_pct: float
    lel_share: float
    air_changes_per_h: float
    over: bool


def reckon(
    pots: Sequence[UsedPot],
    zone_m3: float,
    *,
    hours: float,
    air_c: float = ROOM_C,
    share_limit: float = LEL_SHARE_LIMIT,
    mixing: float = MIXING,
) -> Fumes:
    """Reckon the vapour of the pots used in a zone.

    Parameters
    ----------
    pots : sequence of UsedPot
        What was used today.
    zone_m3 : float
        Volume of the zone, m³.
    hours : float
        Hours over which the solvent comes off.
    air_c : float
        Air temperature, °C.
    share_limit : float
        Share of the lower explosive limit to stay under.
    mixing : float
        Factor for air that mixes badly, 1 to 10.

    Returns
    -------
    Fumes
        Vapour, its share of the limit, and the air changes.

    Raises
    ------
    EngineError
        A zone, time or share that cannot be.
    """
    if not 1.0 <= zone_m3 <= 1e6:
        raise EngineError("zone_m3", f"{zone_m3} m³ cannot be the volume of a zone.")
    if not 0.1 <= hours <= 72.0:
        raise EngineError("hours", "Solvent comes off within 0.1 to 72 hours.")
    _check_share_of_lel(share_limit)
    vapours = [(pot.solvent_l * vapour_l_per_l(pot.solvent, air_c) / 1000.0, pot.solvent.lel_pct) for pot in pots]
    fresh_m3 = sum(air_to_stay_under_m3(vapour, lel_pct, share_limit) for vapour, lel_pct in vapours)
    vapour_m3 = sum(vapour for vapour, _ in vapours)
    lel_share = sum(vapour / zone_m3 * 100.0 / lel_pct for vapour, lel_pct in vapours)
    return Fumes(
        vapour_m3=vapour_m3,
        vapour_pct=100.0 * vapour_m3 / zone_m3,
        lel_share=lel_share,
        air_changes_per_h=dilution_changes(fresh_m3, zone_m3, hours, mixing),
        over=lel_share > share_limit,
    )


def dilution_changes(fresh_m3: float, zone_m3: float, hours: float, mixing: float) -> float:
    """Give the changes of a zone's air each hour that bring a volume of fresh air, times the mixing factor, in time."""
    return fresh_m3 * mixing / hours / zone_m3


def caution(fumes: Fumes, share_limit: float = LEL_SHARE_LIMIT) -> Words:
    """Give the caution with its numbers, as a sentence that pages can translate."""
    text = _OVER if fumes.over else _UNDER
    return say(
        text,
        vapour_m3=f"{fumes.vapour_m3:.3f}",
        share_pct=f"{100.0 * fumes.lel_share:.0f}",
        limit_pct=f"{100.0 * share_limit:.0f}",
        changes=f"{fumes.air_changes_per_h:.1f}",
    )


def flammable_category(flash_c: float, boiling_c: float) -> int | None:
    """Give the class of a flammable liquid, 1 (worst) to 4, or None.

    Source: 29 CFR 1910.1200 App. B as in the SCHC-OSHA Alliance's GHS information sheet 2, Table 2.
    """
    if flash_c > 93.0:
        return None
    if flash_c > 60.0:
        return 4
    if flash_c >= 23.0:
        return 3
    return 2 if boiling_c > 35.0 else 1


def _check_share_of_lel(share: float) -> None:
    if not 0.0 < share < 1.0:
        raise EngineError("share_limit", "The share of the lower explosive limit must lie between 0 and 1.")
