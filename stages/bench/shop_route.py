"""The route of the invented shops: 29 steps, the hull's chain with the trim's and the mill's branches into the fit-out.

Invented for measuring: hours, lags and shares are plausible, and nobody's.
"""

from dataclasses import dataclass

HANDS, SKILLED = "hands", "skilled"
YARD, BENCH, FRAME, ROOM, MILL, RACK = "yard", "bench", "frame", "room", "mill", "rack"
WINDOW_H = 72


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One step of the route.

    Parameters
    ----------
    key, station, skill : str
        Its name, where it is done, who can do it.
    hours : tuple of float
        Fewest and most hands-on hours.
    dry_h : tuple of float
        Fewest and most hours until dry.
    on_rack : bool
        Dries on the rack; else where it is done.
    outdoor : bool
        Needs a dry day.
    window : bool
        Follows the step before within its recoat window, or is sanded first.
    share : float
        Share of the boats that need it.
    """

    key: str
    station: str
    skill: str
    hours: tuple[float, float]
    dry_h: tuple[float, float] = (0, 0)
    on_rack: bool = False
    outdoor: bool = False
    window: bool = False
    share: float = 1.0


HULL = (
    Leg(key="fittings-off", station=BENCH, skill=HANDS, hours=(1.5, 5)),
    Leg(key="canvas-off", station=BENCH, skill=HANDS, hours=(1, 3)),
    Leg(key="old-varnish-off", station=YARD, skill=HANDS, hours=(4, 14), outdoor=True),
    Leg(key="bleach", station=YARD, skill=HANDS, hours=(1, 4), dry_h=(36, 60), on_rack=True, outdoor=True, share=0.5),
    Leg(key="ribs", station=BENCH, skill=SKILLED, hours=(3, 24)),
    Leg(key="planking", station=BENCH, skill=SKILLED, hours=(3, 24)),
    Leg(key="stems", station=BENCH, skill=SKILLED, hours=(3, 10), dry_h=(20, 24), share=0.3),
    Leg(key="fair", station=BENCH, skill=HANDS, hours=(2, 6)),
    Leg(key="sand-inside", station=BENCH, skill=HANDS, hours=(3, 10)),
    Leg(key="varnish-1", station=ROOM, skill=SKILLED, hours=(2, 4), dry_h=(18, 30)),
    Leg(key="varnish-2", station=ROOM, skill=SKILLED, hours=(2, 4), dry_h=(18, 30), window=True),
    Leg(key="varnish-3", station=ROOM, skill=SKILLED, hours=(2, 4), dry_h=(18, 30), window=True, share=0.6),
    Leg(key="oil", station=BENCH, skill=HANDS, hours=(1, 2), dry_h=(48, 96), on_rack=True, share=0.7),
    Leg(key="canvas", station=FRAME, skill=SKILLED, hours=(4, 9)),
    Leg(key="preserve", station=YARD, skill=HANDS, hours=(1, 2), dry_h=(24, 60), on_rack=True, outdoor=True, share=0.5),
    Leg(key="filler-1", station=ROOM, skill=SKILLED, hours=(2, 5), dry_h=(4, 12)),
    Leg(key="filler-2", station=ROOM, skill=SKILLED, hours=(2, 4), dry_h=(120, 504), on_rack=True, window=True),
    Leg(key="sand-filler", station=BENCH, skill=HANDS, hours=(2, 5)),
    Leg(key="primer", station=ROOM, skill=HANDS, hours=(1, 3), dry_h=(12, 20)),
    Leg(key="enamel-1", station=ROOM, skill=SKILLED, hours=(1.5, 3), dry_h=(16, 30), window=True),
    Leg(key="enamel-2", station=ROOM, skill=SKILLED, hours=(1.5, 3), dry_h=(16, 30), window=True),
    Leg(key="enamel-3", station=ROOM, skill=SKILLED, hours=(1.5, 3), dry_h=(16, 30), window=True, share=0.4),
)
TRIM = (
    Leg(key="gunwales", station=MILL, skill=SKILLED, hours=(3, 9)),
    Leg(key="trim-varnish-1", station=BENCH, skill=HANDS, hours=(1, 2), dry_h=(18, 30), on_rack=True),
    Leg(key="trim-varnish-2", station=BENCH, skill=HANDS, hours=(1, 2), dry_h=(18, 30), on_rack=True, window=True),
)
MILLING = (
    Leg(key="mill-stock", station=MILL, skill=HANDS, hours=(1.5, 6)),
    Leg(key="seats", station=BENCH, skill=HANDS, hours=(3, 8), share=0.5),
)
OUT = (
    Leg(key="fit-out", station=BENCH, skill=HANDS, hours=(6, 16)),
    Leg(key="float", station=YARD, skill=HANDS, hours=(1, 2), outdoor=True),
)
