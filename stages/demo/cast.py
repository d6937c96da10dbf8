"""Who and what is in the demo shop. All of it is invented."""

from dataclasses import dataclass, field

from shop.models import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody with a log-in to the demo shop."""

    username: str
    password: str
    first_name: str
    last_name: str
    role: Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Boat:
    """A boat of the demo shop.

    ``came`` is how many days ago it arrived; ``promised`` in how many days from today it was promised; ``holds_at``
    the stage before which its work stands still, because somebody has to decide; ``language`` what its owner reads.
    """

    tag: str
    name: str
    owner: str
    came: int
    promised: int
    length_m: float = 4.88
    beam_m: float = 0.88
    depth_m: float = 0.31
    end_depth_m: float = 0.58
    wood: str = "white cedar planking and ribs, ash outwales"
    filler: str = "latex"
    inside: str = "before"
    colour: str = "#2f5d46"
    colour_name: str = "spruce green"
    old_colour: str = "#6e7f70"
    priority: int = 2
    counts: dict[str, int] = field(default_factory=dict)
    brightwork: str = "sound"
    lead: bool = False
    taped: tuple[tuple[float, float, float], ...] = ()  # from one end, girth and half-breadth there, in metres
    holds_at: str = ""
    language: str = ""


PEOPLE = (
    Person(username="owner", password="ribs-and-ribbands", first_name="Maren", last_name="Holt", role=Role.OWNER),
    Person(username="crew", password="tacks-and-canvas", first_name="Tobias", last_name="Finch", role=Role.CREW),
    Person(username="ines", password="filler-and-primer", first_name="Ines", last_name="Varga", role=Role.CREW),
    Person(username="wall", password="look-at-the-wall", first_name="Wall", last_name="screen", role=Role.LOOK),
)

ZONES = (  # name, outdoors, mean air °C, daily swing K, mean humidity %, volume m³
    ("Bench hall", False, 17.5, 1.5, 52.0, 420.0),
    ("Finishing room", False, 21.0, 0.8, 45.0, 130.0),
    ("Filler room", False, 19.5, 1.0, 48.0, 90.0),
    ("Yard", True, 9.0, 4.5, 78.0, None),
)

STATIONS = (  # name, kind, zone, places
    ("Arrivals rack", "rack", "Bench hall", 3),
    ("Strip bench", "strip", "Bench hall", 2),
    ("Wood bench", "wood", "Bench hall", 3),
    ("Canvas rig", "canvas", "Bench hall", 1),
    ("Yard, outdoors", "yard", "Yard", 3),
    ("Filler bay", "filler", "Filler room", 3),
    ("Finishing room", "finishing", "Finishing room", 5),
    ("Trim bench", "trim", "Bench hall", 2),
)

BOATS = (
    Boat(
        tag="H-091",
        name="Heron",
        owner="Edda Lindqvist",
        came=112,
        promised=-60,
        counts={"ribs": 2, "planks": 1, "seats": 2},
    ),
    Boat(
        tag="H-092",
        name="Low Water",
        owner="Otis Farrow",
        came=72,
        promised=2,
        colour="#33536f",
        colour_name="lake blue",
        counts={"ribs": 4, "planks": 3, "seats": 2, "outwales": 2},
    ),
    Boat(
        tag="H-095",
        name="Tern",
        owner="Priya Sandoval",
        came=44,
        promised=88,  # its oil filler cures for weeks
        length_m=5.18,
        filler="oil",
        inside="after",
        colour="#7a2f28",
        colour_name="oxide red",
        counts={"ribs": 1, "seats": 2},
    ),
    Boat(
        tag="H-097",
        name="Fern Creek",
        owner="Wilhelm Aske",
        came=33,
        promised=9,
        priority=3,
        counts={"ribs": 4, "planks": 9, "stems": 1, "seats": 2},
        lead=True,
    ),
    Boat(
        tag="H-099",
        name="Little Otter",
        owner="Junia Marsh",
        came=40,
        promised=6,
        length_m=4.27,
        beam_m=0.84,
        depth_m=0.29,
        end_depth_m=0.5,
        colour="#a03a2c",
        colour_name="signal red",
        inside="after",
        counts={"planks": 2, "decks": 1, "seats": 1},
        brightwork="flaking",
    ),
    Boat(
        tag="H-101",
        name="Slow River",
        owner="Bram Okafor",
        came=29,
        promised=16,
        length_m=5.18,
        depth_m=0.33,
        end_depth_m=0.62,
        colour="#d8cdb0",
        colour_name="old cream",
        counts={"ribs": 6, "inwales": 1, "seats": 2, "outwales": 2},
    ),
    Boat(
        tag="H-104",
        name="Kestrel",
        owner="Sunniva Bell",
        came=25,
        promised=21,
        length_m=5.03,
        colour="#22423a",
        colour_name="bottle green",
        counts={"ribs": 2, "planks": 4, "seats": 2},
        taped=((1.25, 1.14, 0.39), (2.51, 1.32, 0.44), (3.77, 1.15, 0.39)),
    ),
    Boat(
        tag="H-107",
        name="Mallow",
        owner="Gideon Pryce",
        came=22,
        promised=34,
        length_m=4.6,
        depth_m=0.3,
        end_depth_m=0.55,
        colour="#355f78",
        colour_name="heron blue",
        counts={"ribs": 3, "stems": 2, "seats": 1},
    ),
    Boat(
        tag="H-109",
        name="Big Bend",
        owner="Lotte Vandermeer",
        came=7,
        promised=58,
        length_m=5.49,
        beam_m=0.94,
        depth_m=0.34,
        end_depth_m=0.64,
        counts={"ribs": 12, "planks": 14, "decks": 2, "seats": 3, "outwales": 2},
        lead=True,
    ),
    Boat(
        tag="H-112",
        name="Windfall",
        owner="Casimir Dole",
        came=20,
        promised=44,
        length_m=5.49,
        end_depth_m=0.64,
        depth_m=0.34,
        colour="#5b4a36",
        colour_name="bark brown",
        counts={"ribs": 5, "planks": 6, "inwales": 2, "seats": 2},
        holds_at="canvas",
        language="fr",
    ),
    Boat(
        tag="H-115",
        name="Sedge",
        owner="Amara Quill",
        came=9,
        promised=52,
        length_m=4.6,
        depth_m=0.3,
        end_depth_m=0.55,
        counts={"ribs": 8, "planks": 5, "stems": 1, "seats": 1},
    ),
    Boat(
        tag="H-118",
        name="Dipper",
        owner="Roald Fenwick",
        came=2,
        promised=60,
        old_colour="#5d6b74",
        counts={"ribs": 3, "planks": 2, "seats": 2},
    ),
    Boat(
        tag="H-119",
        name="Pole Star",
        owner="Hedda Marlowe",
        came=4,
        promised=70,
        length_m=5.18,
        old_colour="#8a3b2e",
        counts={"ribs": 1, "planks": 1, "seats": 2},
        holds_at="estimate",
    ),
    Boat(
        tag="H-120",
        name="Minnow",
        owner="Teodor Hale",
        came=0,
        promised=75,
        length_m=3.96,
        beam_m=0.81,
        depth_m=0.28,
        end_depth_m=0.46,
        old_colour="#3d5a73",
        counts={"ribs": 2, "seats": 1},
        holds_at="survey",
    ),
)
