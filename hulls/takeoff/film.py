"""Film and pot: how far a litre goes, how thick to lay it wet, and how much to pour out.

Spreading rates hold for surfaces that do not soak up the coat; bare canvas and bare wood take more.
"""

from dataclasses import dataclass

from hulls.takeoff.errors import TakeOffError

# Share of the pot that does not end up on the hull. Spray: secondary source; brush and roller: from memory.
LOSS_BRUSH = 0.10
LOSS_ROLLER = 0.15
LOSS_SPRAY = 0.30


def theoretical_m2_per_l(volume_solids: float, dry_film_um: float) -> float:
    """Give the theoretical spreading rate.

    Parameters
    ----------
    volume_solids : float
        Share of the coat's volume that stays as dry film, over 0 to 1.
    dry_film_um : float
        Dry film, µm.

    Returns
    -------
    float
        m² a litre, without any loss: 1000 VS / DFT, since one litre covers one square metre 1000 µm deep.
    """
    _check_share("volume_solids", volume_solids)
    _check_film("dry_film_um", dry_film_um)
    return 1000.0 * volume_solids / dry_film_um


def practical_m2_per_l(theoretical: float, loss: float) -> float:
    """Give the practical spreading rate, m² a litre, when a share of the pot is lost."""
    _check_loss(loss)
    return theoretical * (1.0 - loss)


def wet_film_um(dry_film_um: float, volume_solids: float, thinning: float = 0.0) -> float:
    """Give the wet film to lay for a dry film: DFT (1 + t) / VS.

    Parameters
    ----------
    dry_film_um : float
        Dry film wanted, µm.
    volume_solids : float
        Share of the unthinned coat's volume that stays, over 0 to 1.
    thinning : float
        Thinner put in, as a share of the coat's volume.

    Returns
    -------
    float
        Wet film, µm.
    """
    _check_film("dry_film_um", dry_film_um)
    _check_share("volume_solids", volume_solids)
    _check_thinning(thinning)
    return dry_film_um * (1.0 + thinning) / volume_solids


def dry_film_um(wet_um: float, volume_solids: float, thinning: float = 0.0) -> float:
    """Give the dry film, µm, that a wet film comes to: WFT VS / (1 + t); the inverse of `wet_film_um`."""
    _check_film("wet_um", wet_um)
    _check_share("volume_solids", volume_solids)
    _check_thinning(thinning)
    return wet_um * volume_solids / (1.0 + thinning)


def wet_cover_m2_per_l(wet_um: float) -> float:
    """Give what a litre of the coat as laid covers at a wet film, m²."""
    _check_film("wet_um", wet_um)
    return 1000.0 / wet_um


@dataclass(slots=True, frozen=True, kw_only=True)
class Pot:
    """What to pour out for one coat: product and thinner, litres, and the wet film to lay, µm."""

    product_l: float
    thinner_l: float
    wet_um: float

    @property
    def total_l(self) -> float:
        """Give the volume in the pot, litres."""
        return self.product_l + self.thinner_l


def pot(area_m2: float, dry_um: float, volume_solids: float, *, thinning: float = 0.0, loss: float = LOSS_BRUSH) -> Pot:
    """Give the pot for one coat on an area.

    Parameters
    ----------
    area_m2 : float
        Area to cover, m².
    dry_um : float
        Dry film wanted, µm.
    volume_solids, thinning : float
        As for `wet_film_um`.
    loss : float
        Share of the pot that does not end up on the hull, 0 to under 1.

    Returns
    -------
    Pot
        Product and thinner.

    Raises
    ------
    TakeOffError
        A share, film or area that cannot be.
    """
    if not 0.0 <= area_m2 < float("inf"):
        raise TakeOffError("area_m2", f"{area_m2} m² cannot be an area to coat.")
    product_l = area_m2 / practical_m2_per_l(theoretical_m2_per_l(volume_solids, dry_um), loss)
    return Pot(product_l=product_l, thinner_l=product_l * thinning, wet_um=wet_film_um(dry_um, volume_solids, thinning))


def film_factor(laid_um: float, label_um: float, power: float = 1.0) -> float:
    """Give how many times the label's hours a film takes that is thicker or thinner than the label's.

    Parameters
    ----------
    laid_um, label_um : float
        Films as laid and as the label has it, µm, both wet or both dry.
    power : float
        1 where evaporation from the surface sets the pace; up to 2 where something must pass through the film.
        Which holds for a product is not published: a setting.

    Returns
    -------
    float
        Factor on the hours.
    """
    _check_film("laid_um", laid_um)
    _check_film("label_um", label_um)
    if not 0.0 <= power <= 2.0:
        raise TakeOffError("power", "Drying goes with the film's thickness to a power between 0 and 2.")
    return float((laid_um / label_um) ** power)


def _check_share(field: str, share: float) -> None:
    if not 0.0 < share <= 1.0:
        raise TakeOffError(field, "The solids must be a share over 0 and up to 1 of the volume.")


def _check_loss(loss: float) -> None:
    if not 0.0 <= loss < 1.0:
        raise TakeOffError("loss", "The loss must be a share from 0 to under 1 of the pot.")


def _check_thinning(thinning: float) -> None:
    if not 0.0 <= thinning <= 1.0:
        raise TakeOffError("thinning", "Thinner must be a share from 0 to 1 of the coat's volume.")


def _check_film(field: str, film_um: float) -> None:
    if not 0.0 < film_um < 10_000.0:
        raise TakeOffError(field, f"{film_um} µm cannot be a film of paint.")
