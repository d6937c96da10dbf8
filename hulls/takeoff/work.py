"""What is to be done on a hull, as far as supplies depend on it."""

from dataclasses import dataclass

from hulls.takeoff.errors import TakeOffError

SURFACES = ("planking", "skin", "inside", "brightwork")
COUNTED = ("ribs", "planks", "stems", "inwales", "decks", "outwales", "seats")
MOST = 500  # of anything counted: it catches a slip of the pen


@dataclass(frozen=True, slots=True, kw_only=True)
class Coats:
    """Coats of one kind of product on one surface.

    Parameters
    ----------
    surface : str
        ``planking`` (outside, under the canvas), ``skin`` (the canvas), ``inside`` or ``brightwork``.
    kind : str
        The kind of product.
    coats : int
        How many.

    Raises
    ------
    TakeOffError
        For an unknown surface, or a number of coats that nobody lays on.
    """

    surface: str
    kind: str
    coats: int

    def __post_init__(self) -> None:
        if self.surface not in SURFACES:
            raise TakeOffError("surface", f"A coat goes on one of {', '.join(SURFACES)}, not on “{self.surface}”.")
        if not 0 < self.coats <= 30:
            raise TakeOffError("coats", "The number of coats lies between 1 and 30.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The work on one hull.

    Parameters
    ----------
    coats : tuple of Coats
        In the order in which they go on.
    canvas : bool
        A new canvas is stretched.
    strips : tuple of str
        The surfaces whose old finish comes off with stripper.
    wash : bool
        The bare hull is washed with cleaner.
    refit : bool
        Keel, stem bands and outwales go back on, in bedding.
    ribs, planks, stems, inwales, decks, outwales, seats : int
        What is to be renewed: whole ribs, lengths of planking, stems, places of the inwales, decks, outwales, and
        seats to be caned.

    Raises
    ------
    TakeOffError
        For a count that cannot be.
    """

    coats: tuple[Coats, ...] = ()
    canvas: bool = False
    strips: tuple[str, ...] = ()
    wash: bool = False
    refit: bool = False
    ribs: int = 0
    planks: int = 0
    stems: int = 0
    inwales: int = 0
    decks: int = 0
    outwales: int = 0
    seats: int = 0

    def __post_init__(self) -> None:
        for name in COUNTED:
            count = getattr(self, name)
            if isinstance(count, bool) or not isinstance(count, int) or not 0 <= count <= MOST:
                raise TakeOffError(name, f"The number of {name} is a whole one from 0 to {MOST}.")
        for surface in self.strips:
            if surface not in SURFACES:
                raise TakeOffError("strips", f"An old finish comes off one of {', '.join(SURFACES)}.")

    def of_kind(self, kind: str) -> tuple[Coats, ...]:
        """The coats of one kind of product."""
        return tuple(coats for coats in self.coats if coats.kind == kind)

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of products that go on, each once, in order."""
        return tuple(dict.fromkeys(coats.kind for coats in self.coats))


# The whole job as most boats need it: new canvas, latex filler, paint, and the inside and brightwork varnished.
USUAL_WORK = Work(
    coats=(
        Coats(surface="inside", kind="sealer", coats=3),
        Coats(surface="inside", kind="varnish", coats=2),
        Coats(surface="planking", kind="oil", coats=1),
        Coats(surface="skin", kind="preservative", coats=1),
        Coats(surface="skin", kind="latex_filler", coats=3),
        Coats(surface="skin", kind="primer", coats=2),
        Coats(surface="skin", kind="enamel", coats=3),
        Coats(surface="brightwork", kind="varnish", coats=3),
    ),
    canvas=True,
    strips=("inside",),
    wash=True,
    refit=True,
)
