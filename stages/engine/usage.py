"""What one coat takes of its product: by the take-off, and by what the shop has measured."""

from hulls import takeoff
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.vocab import Surface
from stages.engine.work import Work


def coat_amount(work: Work, product: Product, spec: StageSpec, surface: Surface | None = None) -> float | None:
    """Give what the next coat of a step takes, in the product's unit.

    Parameters
    ----------
    work : Work
        The hull, for its sizes and for the coats that are on.
    product : Product
        What goes on, with the shop's own factor on what its label says.
    spec : StageSpec
        The step.
    surface : Surface, optional
        Where it goes on, if not where the step says.

    Returns
    -------
    float or None
        None where the label does not say how far it goes, or nothing is known of the hull's size.
    """
    by_label = label_amount(work, product, spec, surface)
    return by_label * product.usage if by_label else None


def label_amount(work: Work, product: Product, spec: StageSpec, surface: Surface | None = None) -> float | None:
    """Give what it takes by the label alone, whatever the shop has measured; as `coat_amount` otherwise."""
    first = not work.state.stage(spec.key).coats_on
    return _one(work, product, surface or spec.surface, first=first)


def rest_amount(work: Work, product: Product, spec: StageSpec) -> float | None:
    """Give what all coats of a step take that are not on yet; as `coat_amount` otherwise."""
    on = work.state.stage(spec.key).coats_on
    coats = [_one(work, product, spec.surface, first=not number) for number in range(on, spec.coats)]
    known = [coat for coat in coats if coat]
    return sum(known) * product.usage if known and len(known) == len(coats) else None


def _one(work: Work, product: Product, surface: Surface | None, *, first: bool) -> float | None:
    if product.material is None or work.sizes is None or surface is None:
        return None
    return takeoff.coat_amount(product.material, str(surface), work.sizes, first=first)
